"""What ``check`` found, in the forms that other programs read: one form a file.

Each form is a function from the programs checked to a whole document; the same
programs give the same document, whatever machine and folder it is made in.
"""
