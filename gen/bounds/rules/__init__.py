"""The rules, a folder a family and a file a check; what several files of a family need lies beside them."""
