; BEGIN DRESS 7152 SEAL 5DAABAD3D0434A3B
; MACHINE long-slide
; RECIPE narrow-wheel
; FORM PROGRAM
; FROM DIGITS VERSION
; WHEEL AND STICK ARE READ FROM REGISTERS
; TITLE Relief wheel, narrow stick in lanes
; AGGRESSIVENESS 250, BAND 200 TO 300
; SPEED 1500 rpm, 3 X 3 mm, FEED 353.4 mm/min WITH A NEW WHEEL
; Guard closed, interlocks working. Stand out of the plane of the wheel. Eye and hearing protection.
; Wheel and stick free of cracks, stick fully clamped.
; Change wheel or stick only with the spindle stopped and locked out, feeder air vented.
; Never above the marked maximum speed of the wheel.
; Prove out first, stick held off, reduced override, single block.
; After any wheel, stick or truing change enter diameter, gauge and length again, twice.
; For a guarded, power-fed dresser only. Never for a stick in the hand.
; Coolant on the stick before contact, extraction when dry. Oil mist and sparks are a fire risk.
; Dust and mist of carbide and cobalt are a health hazard.
; A jump in sound or power: retract.
; Checked is this block only, not workpiece, fixture or offsets.
; Instructions of the machine and wheel makers, local codes and a qualified person come first.
; every mode stated, offsets cancelled
G710 G90 G94 G17 G40 D0 G97 G60
TRANS
MCALL
; plunge axis parks first
SUPA G0 W540
; registers are read when all motion has ended
STOPRE
IF R84==0 GOTOF DRESS_101
DRESS_100:
MSG("11 DRESS WAS INTERRUPTED - MEASURE THE STICK")
M0
GOTOB DRESS_100
DRESS_101:
IF R80>=260 GOTOF DRESS_103
DRESS_102:
MSG("21 WHEEL DIAMETER IS BELOW 260 MM")
M0
GOTOB DRESS_102
DRESS_103:
IF R80<=300 GOTOF DRESS_105
DRESS_104:
MSG("22 WHEEL DIAMETER IS ABOVE 300 MM")
M0
GOTOB DRESS_104
DRESS_105:
IF R82>=49 GOTOF DRESS_107
DRESS_106:
MSG("31 STICK LENGTH IS BELOW 49 MM")
M0
GOTOB DRESS_106
DRESS_107:
IF R82<=180 GOTOF DRESS_109
DRESS_108:
MSG("32 STICK LENGTH IS ABOVE 180 MM")
M0
GOTOB DRESS_108
DRESS_109:
R90=R80 ; wheel diameter
R91=R82 ; stick length
R92=1500 ; spindle speed
R93=ROUND(((R90*R92)/1273.23954474)*10)/10 ; plunge feed
R94=TRUNC(((R90*R92)/1061.03295395)*10)/10 ; approach feed, the top of the band
SUPA G0 Y400
SUPA G0 Z121.5
; wheel at dress speed
M3 S=R92
G4 F6 ; spindle at speed
M8
G4 F3.5 ; coolant on the stick
R84=1 ; in progress
; plunge 1 of 3
R95=ROUNDUP(((-35)+(R91+(R90/2)))*1000)/1000 ; contact
SUPA G0 W301
SUPA G1 W=(R95+6) F=R94
SUPA G1 W=(R95-3) F=R93
SUPA G0 W540
STOPRE
R82=R91-3 ; stick length
R91=R91-3 ; stick length
SUPA G0 Z112.5
; plunge 2 of 3
R95=ROUNDUP(((-35)+(R91+(R90/2)))*1000)/1000 ; contact
SUPA G0 W301
SUPA G1 W=(R95+6) F=R94
SUPA G1 W=(R95-3) F=R93
SUPA G0 W540
STOPRE
R82=R91-3 ; stick length
R91=R91-3 ; stick length
SUPA G0 Z103.5
; plunge 3 of 3
R95=ROUNDUP(((-35)+(R91+(R90/2)))*1000)/1000 ; contact
SUPA G0 W301
SUPA G1 W=(R95+6) F=R94
SUPA G1 W=(R95-3) F=R93
SUPA G0 W540
STOPRE
R82=R91-3 ; stick length
STOPRE
R83=0 ; parts since dress
R84=0 ; in progress
M9
M5
; modes the cycle expects
G710 G90 G94 G17 G64
M30
; END DRESS 7152
