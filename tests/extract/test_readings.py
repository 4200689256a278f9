"""Readings as engineers say them: usual wordings (common practice, no source) and properties that hold for any talk."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldnote.extract import by_rules
from fieldnote.records import Reading
from fieldnote.trade.vocabulary import vocabulary

# Spoken figures of the trade: common practice, no source.
SAID = {
    "working pressure twenty point five millibar": "working-pressure 20.5",
    "working pressure twenty and a half mill a bar": "working-pressure 20.5",
    "working pressure nineteen eight": "working-pressure 19.8",
    "working pressure twenty one dead": "working-pressure 21",
    "standing pressure bang on twenty": "standing-pressure 20",
    "tightness test twenty down to eighteen two": "tightness-drop 1.8",
    "tightness test lost half a mil": "tightness-drop 0.5",
    "tightness test, 20.2 mbar falling to 19.8 in two minutes, passed": "tightness-drop 0.4; test-duration 120",
    "the badge is telling me seven point two kilowatts": "rated-input 7.2",
    "tightness test no drop": "tightness-drop 0",
    "tightness 20.2 to 20.0 over 2 minutes, nothing perceptible, passed": "tightness-drop 0.2; test-duration 120",
    "tightness tested, nothing you could call a leak": "",
    "0.2 lost on tightness, nothing perceptible": "tightness-drop 0.2",
    "tightness test, 0.3 drop over two minutes": "tightness-drop 0.3; test-duration 120",
    "tightness test twenty mbar, 0.3 drop over the two minutes, no perceptible movement": "tightness-drop 0.3; test-duration 120",
    "0.2 lost on the tightness, no drop you could call a leak": "tightness-drop 0.2",
    "tightness test dropped 0.4, nipped the union up, retested, no drop": "tightness-drop 0.4; tightness-drop 0",
    "tightness test two minutes no drop, retest two minutes no drop": (
        "test-duration 120; tightness-drop 0; test-duration 120; tightness-drop 0"
    ),
    "kitchen's 3 by 4 and 2.4 high, the hob hose is 1 metre long": "room-length 3; room-width 4; room-height 2.4",
    "thermocouples front left 18, rear left 9, front right 20. Rear left's weak, changed it, 18 now": (
        "thermocouple-output 18; thermocouple-output 9; thermocouple-output 20; thermocouple-output 18"
    ),
    "thermocouple nineteen millivolts, locker's got no drop vent": "thermocouple-output 19",
    "gas rate 1.5 m3/h, badge on the meter says 6 m3/h": "gas-rate 1.5",
    "tightness test rock solid": "tightness-drop 0",
    "not putting a bar on that nut, something will shear": "",
    "topped the system up, it had lost a bar": "system-pressure 1",
    "left at one point two bar, well that's up to you two": "system-pressure 1.2",
    "working twenty point three with the boiler flat out for the working the bond's ten mil": "working-pressure 20.3",
    "bayonet was loose, did it again. Had it on for half an hour": "",
    "tightness two minutes lost one mil, nipped it, did it again two minutes no drop": (
        "test-duration 120; tightness-drop 1; test-duration 120; tightness-drop 0"
    ),
    "had the thermocouple out and it's reading twenty seven": "thermocouple-output 27",
    "it's not the thermocouple, I'm getting twenty one off it": "thermocouple-output 21",
    "thermocouple, if it was reading under five millivolts I'd change it": "",
    "thermocouple's making five millivolts so changed 'en twenty three now": "thermocouple-output 5; thermocouple-output 23",
    "thermocouple 3 mV, dead. New one, 25.": "thermocouple-output 3; thermocouple-output 25",
    "rear right nine millivolts weak renewed twenty three taps ok": "thermocouple-output 9; thermocouple-output 23",
    "drop outs rear left fifteen rear right twenty eight taps are fine": "drop-out-time 15; drop-out-time 28",
    "won't hold her in more than half a minute": "",
    "fuse of 13, wrong, I change for one of 3": "fuse-rating 13; fuse-rating 3",
    "I said the wrong fuse, I take that back, it's a three": "fuse-rating 3",
    "somebody had drilled the jet. Swapped it for a 0.97": "injector-size 0.97",
    "front right is stamped 128 but my pin gauge says 1.30": "injector-size 1.28; injector-size 1.3",
    "standing's twenty one four jets then front left seventy seven": "standing-pressure 21.4; injector-size 0.77",
    "thirty seven's what the book wants, jets front left's a fifty": "injector-size 0.5",
    "burner pressure set at fifteen four it was running at eleven eight": "burner-pressure 15.4; burner-pressure 11.8",
    "burner pressure's twelve point one max and no leaks": "burner-pressure 12.1",
    "pipe to the cooker is 15 mm and 6.5 m long": "pipe-size 15; pipe-length 6.5",
    "room three by two and two and a half high. No, two point three high": "room-length 3; room-width 2; room-height 2.3",
    "thermocouples front left 21 mV, back right between those two call it nineteen": (
        "thermocouple-output 21; thermocouple-output 19"
    ),
    "analyser in the hall twelve parts, turned the boiler off and it went to nil": "ambient-co 12; ambient-co 0",
    "standing was twenty three and with the boiler going it's nineteen point four at the meter pipe's steel": (
        "standing-pressure 23; working-pressure 19.4"
    ),
    "pressure running with the grill and two rings twenty point four": "working-pressure 20.4",
    "meter after one oh four oh six point one five three time is two minutes": "meter-reading 10406.153; elapsed 120",
    "meter oh nine six one two point five oh nine sorry five two oh": "meter-reading 9612.52",
    "room CO 3 ppm at the start and 4 once the fire had run": "ambient-co 3; ambient-co 4",
    "room CO nowt at the start, nowt at the end": "ambient-co 0; ambient-co 0",
    "analyser in the hall eighteen parts kitchen thirty four lounge twelve": "ambient-co 18; ambient-co 34; ambient-co 12",
    "CO 38, CO2 9, ratio 0.0004. Room nought.": "co 38; co2 9; co-ratio 0.0004; ambient-co 0",
    "spark gap's set now it's eight point eight see oh two with seventy one parts": "co2 8.8; co 71",
    "spark gap's set now it's four thermocouple's fine": "spark-gap 4",
    "ratio double oh two two burner was furred up": "co-ratio 0.0022",
    "flue temp's a hunner an twinty five": "flue-temperature 125",
    "drop out front left forty wan seconds": "drop-out-time 41",
    "what's the flue say? 74 degrees": "flue-temperature 74",
    "rated input 6.8 kW; I calculate 6.5": "rated-input 6.8; heat-input 6.5",
    "gas rate 2.44 m3/h against a plate of 26.3 kW gross": "gas-rate 2.44; rated-input 26.3",
    "put it through the meter two point five two an hour which is twenty seven point one kilowatts plate's twenty six": (
        "gas-rate 2.52; heat-input 27.1; rated-input 26"
    ),
    "simmer burner heat input 1 kW, big one 3.1": "heat-input 1; heat-input 3.1",
    "burner pressure 13.0. Hob: heat input 6.1 kW, rated 7.5": "burner-pressure 13; heat-input 6.1; rated-input 7.5",
    "test dial went round once in 41 seconds": "elapsed 41",
    "pipe from the meter is twenty two mil eight metres and to the hob fifteen millimetre two metres": (
        "pipe-size 22; pipe-length 8; pipe-size 15; pipe-length 2"
    ),
    "now it runs at nineteen and a half same rings on": "working-pressure 19.5",
    "working twenty and a half meter's sound": "working-pressure 20.5",
    "she takes in eight seconds and lets go at thirty six": "hold-in-time 8; drop-out-time 36",
    "regulator's stamped 2013, out of date, so changed it: 37 dead standing": "standing-pressure 37",
    "burner pressure twelve and a half plate says thirteen standing twenty one point four": (
        "burner-pressure 12.5; standing-pressure 21.4"
    ),
    "no vent wanted thermocouple twenty four millivolts": "thermocouple-output 24",
    "drop outs front left thirty three front right twenty seven no sorry thirty seven thermocouple on that giving twelve": (
        "drop-out-time 33; drop-out-time 37; thermocouple-output 12"
    ),
    "in the room co is zero burner pressure twelve": "ambient-co 0; burner-pressure 12",
    "Rear right thermocouple I put at eight millivolts, weak. The boy was at the van. Front left seventeen, that's all right": (
        "thermocouple-output 8; thermocouple-output 17"
    ),
    "thermocouples left to right: 14 and 16 millivolts. Back row, 13.5 and 7": (
        "thermocouple-output 14; thermocouple-output 16; thermocouple-output 13.5; thermocouple-output 7"
    ),
    "millivolts left front eleven right front nineteen": "thermocouple-output 11; thermocouple-output 19",
    "left hand thermocouple's giving eighteen millivolts the right one's only nine": (
        "thermocouple-output 18; thermocouple-output 9"
    ),
    "thermocouple front left sixteen millivolts. front right two screws loose": "thermocouple-output 16",
    "thermocouples while I'm at it eighteen seventeen twenty and the front right's six": (
        "thermocouple-output 18; thermocouple-output 17; thermocouple-output 20; thermocouple-output 6"
    ),
    "jets are stamped seventy seven seventy seven ninety seven and a hundred and fifteen": (
        "injector-size 0.77; injector-size 0.77; injector-size 0.97; injector-size 1.15"
    ),
    "jets front left seventy two back left ninety seven back right one two eight and the front right's a fifty": (
        "injector-size 0.72; injector-size 0.97; injector-size 1.28; injector-size 0.5"
    ),
    "spark gaps three four four and three": "spark-gap 3; spark-gap 4; spark-gap 4; spark-gap 3",
    "Jets on this one, hand me the torch, will you? Ta. Front left 77, back left 97": "injector-size 0.77; injector-size 0.97",
    "jets on this hob: 115 in the big one front right, 97 in both of the left, 72 in the rear right": (
        "injector-size 1.15; injector-size 0.97; injector-size 0.97; injector-size 0.72"
    ),
    "hold in time left ring eight seconds right ring six thermocouples left nine millivolts": (
        "hold-in-time 8; hold-in-time 6; thermocouple-output 9"
    ),
    "thermocouples front left 21 mV, back left eighteen, drop out on that one thirty seven seconds": (
        "thermocouple-output 21; thermocouple-output 18; drop-out-time 37"
    ),
    "thermocouple 6 mV, sorry, 16, misread it. Front right: 9": "thermocouple-output 16; thermocouple-output 9",
    "let by nil in the minute": "let-by-rise 0; test-duration 60",
    "tightness: 20.2, and it didn't move in the 2 minutes": "tightness-drop 0; test-duration 120",
    "tightness, 20 to 19.5, sorry, 19.4 at the two minutes": "tightness-drop 0.6; test-duration 120",
    "let-by set at 8.5, one minute, no rise. Raised to 20.3, stabilised one minute, then two minutes: fell to 20.0": (
        "test-duration 60; let-by-rise 0; test-duration 120; tightness-drop 0.3"
    ),
    "tightness twenty, let it settle, two minutes, nineteen six": "test-duration 120; tightness-drop 0.4",
    "tightness two minutes and it ay dropped at all": "test-duration 120; tightness-drop 0",
    "set it at twenty one and over two minutes it went to sixteen point two": "test-duration 120; tightness-drop 4.8",
    "put the gauge on and in two minutes it's gone down three point one": "test-duration 120; tightness-drop 3.1",
    "regulator marked thirty seven millibar, standing thirty nine": "standing-pressure 39",
    "CO2 9.4 as found, trimmed it back and it's 9.2 as left. I'll say that again, 9.2": "co2 9.4; co2 9.2",
    "magnet hasn't dropped at all": "",
    "the meter two minutes no drop": "test-duration 120; tightness-drop 0",
    "tightness did the lot again two minutes twenty and it stopped at twenty": "test-duration 120; tightness-drop 0",
    "two minutes no drop on the whole house": "test-duration 120; tightness-drop 0",
    "Working, with the boiler and the hob on, 19.4 at the meter and 18.2 at the hob, so I'm losing over a millibar": (
        "working-pressure 19.4; working-pressure 18.2"
    ),
    "boiler's rated 24 kilowatts on the plate. Tightness test, 20 down to 19.5 in two minutes": (
        "rated-input 24; tightness-drop 0.5; test-duration 120"
    ),
    "working at the meter, boiler at full rate, 20.7": "working-pressure 20.7",
    "he says start two two nine oh one point six double five": "meter-reading 22901.655",
    "tested it twenty down to twenty two minutes no drop": "tightness-drop 0; test-duration 120",
    "tightness twenty down to eighteen two minutes": "tightness-drop 2; test-duration 120",
    "working pressure eighteen point two caps all ok": "working-pressure 18.2",
    "burner pressure wanted eleven it's giving nine point nine": "burner-pressure 9.9",
    "carbon monoxide in flue sixty two": "co 62",
    "grill thermocouple give fourteen": "thermocouple-output 14",
    "ratio nought point nought nought four": "co-ratio 0.004",
    "ratio point oh oh four": "co-ratio 0.004",
    "point zero zero zero eight ratio": "co-ratio 0.0008",
    "nine point one percent co two": "co2 9.1",
    "see oh two nine point one percent": "co2 9.1",
    "co thirty six parts": "co 36",
    "co two hundred parts": "co 200",
    "thirty six pee pee em": "co 36",
    "meter reading eight four three six point five two four": "meter-reading 8436.524",
    "tightness test two minutes six no drop": "test-duration 126; tightness-drop 0",
    "heat input three and a half kay double u": "heat-input 3.5",
    "rated input twenty four point four nine net": "rated-input 24.49",
    "number seventy two jet": "injector-size 0.72",
    "number sixty nine top flat boiler": "",
    "went down from twenty to seventeen in two minutes": "tightness-drop 3; test-duration 120",
    "tightness test twenty one falling to twenty point six over two minutes": "tightness-drop 0.4; test-duration 120",
    "tightness twenty sinking to nineteen point five in two minutes": "tightness-drop 0.5; test-duration 120",
    "tightness test two minutes and it never dropped at all": "test-duration 120; tightness-drop 0",
    "boiler burner clogged along one bar": "",
    "combustion thirty one over nine point three": "co 31; co2 9.3",
    "combustion eight point eight and fifty three parts": "co2 8.8; co 53",
    "ODS trips fourteen seconds": "drop-out-time 14",
    "air vent gives forty square": "vent-area 40",
    "fitted him a CO one": "",
    "it has three bars left middle right": "",
    "at the pressure point fourteen point eight mbar working pressure": "working-pressure 14.8",
    "injector marked 77": "injector-size 0.77",
    "oven flame failure, 17 seconds, fine": "drop-out-time 17",
    "flame failure holds in after 12 seconds": "hold-in-time 12",
    "pipework: two brackets adrift": "",
    "wound it down as left it's thirty eight and a half standing and thirty six working": "standing-pressure 38.5; "
    "working-pressure 36",
    "gauge sits at 1.2": "system-pressure 1.2",
    "electrode tip was touching the burner, eased it out to four mil": "spark-gap 4",
    "thirteen amp fuse": "fuse-rating 13",
    "took just under a minute and a half to drop out, eighty four seconds on the watch": "drop-out-time 84",
    "drop out was about thirty seconds thirty two to be exact": "drop-out-time 32",
    "standing was twenty two and a bit call it twenty two point four running with it all on": "standing-pressure 22.4",
    "standing two point one kilopascals so that's twenty one millibar working nineteen and a half": "standing-pressure 21; "
    "working-pressure 19.5",
    "inlet last year's sheet says nineteen and today it never dropped below eighteen point nine": "working-pressure 18.9",
    "hold-in and drop-out for each, front left 4 and 33, rear left 5 and 29": "hold-in-time 4; drop-out-time 33; "
    "hold-in-time 5; drop-out-time 29",
    "thermocouples in mV: FL 24, RR 9": "thermocouple-output 24; thermocouple-output 9",
    "tightness three tenths of a mil down in two minutes": "tightness-drop 0.3; test-duration 120",
    "eight metres of twenty two mil then three of fifteen": "pipe-length 8; pipe-size 22; pipe-length 3; pipe-size 15",
    "front left jet's off another hob it's got sixty eight on it": "injector-size 0.68",
    "working pressure twenty one. main bond ten mil": "working-pressure 21",
    "gas valve: no let-by. working pressure twenty": "working-pressure 20",
    "mains was reading two two eight": "supply-voltage 228",
    "gas rates: front left 2.8 kW, rear left 1.7, rear right 0.95": "heat-input 2.8; heat-input 1.7; heat-input 0.95",
    "burner pressure fourteen three quarters": "burner-pressure 14.75",
    "jets front left one one five rear left seven seven": "injector-size 1.15; injector-size 0.77",
    "boiler's rated twenty four kilowatts clocked at twenty three point six": "rated-input 24; heat-input 23.6",
    "held in after five seconds and dropped out after thirty two": "hold-in-time 5; drop-out-time 32",
    "rear left held in at six seconds dropped out in forty four": "hold-in-time 6; drop-out-time 44",
    "burner pressure with everything lit, 17.6 mbar": "burner-pressure 17.6",
    "working at the meter 20.6, at the boiler 19.9": "working-pressure 20.6; working-pressure 19.9",
    "room is 3.6 metres into 2.2 metres": "room-length 3.6; room-width 2.2",
    "ambient nought in the kitchen nought in the hall and 14 parts per million in the lounge": "ambient-co 0; "
    "ambient-co 0; ambient-co 14",
    "oven flame failure held nineteen seconds then dropped": "drop-out-time 19",
    "injector's a size up from what the book gives, stamped 95": "injector-size 0.95",
    "thermocouple's weak five millivolts no six it's settled at six": "thermocouple-output 6",
    "earth continuity point one of an ohm": "earth-continuity 0.1",
    "insulation greater than nine nine nine meg": "insulation-resistance 999",
    "thermocouple twelve millivolts": "thermocouple-output 12",
    "supply two thirty eight volts": "supply-voltage 238",
    "room four by three by two point four": "room-length 4; room-width 3; room-height 2.4",
    "vent's 5000 square millimetres free area": "vent-area 50",
    "six metres of twenty two": "pipe-length 6; pipe-size 22",
    "twenty one standing nineteen working": "standing-pressure 21; working-pressure 19",
    "working pressure 20.6 on the first, 20.5 on the second": "working-pressure 20.6; working-pressure 20.5",
    "Jets on this hob: 115 front right, 97 front left, 72 rear right": "injector-size 1.15; injector-size 0.97; "
    "injector-size 0.72",
    "27 kW heat-only boiler, heat input 26.1 kW": "heat-input 26.1",
    "pressure of burner fourteen point three when I came": "burner-pressure 14.3",
    "working pressure twenty and burner pressure fifteen": "working-pressure 20; burner-pressure 15",
    "standing and working were 22 and 20.5": "standing-pressure 22; working-pressure 20.5",
    "drop-out times: front left 22 seconds, rear left 31": "drop-out-time 22; drop-out-time 31",
    "system pressure a bar and a half": "system-pressure 1.5",
    "working pressure two kilopascals": "working-pressure 20",
    "flue temperature two hundred and twelve fahrenheit": "flue-temperature 100",
    "stood at twenty one four with it off and nineteen seven with it all on": "standing-pressure 21.4; working-pressure 19.7",
    "working at the hob nineteen eight and nineteen five with the boiler on as well": "working-pressure 19.8; "
    "working-pressure 19.5",
    "inlet at the boiler nineteen point one on full": "working-pressure 19.1",
    "standing as found was forty six wound it down as left it's thirty eight and a half standing and thirty six working": (
        "standing-pressure 46; standing-pressure 38.5; working-pressure 36"
    ),
    "main cock's letting by nought point six in a minute": "let-by-rise 0.6; test-duration 60",
    "tightness, 2 minutes, 0.4 mbar, passed": "test-duration 120; tightness-drop 0.4",
    "tightness failed, four millibar drop in two minutes": "tightness-drop 4; test-duration 120",
    "gauge never moved on the tightness in two minutes": "tightness-drop 0; test-duration 120",
    "thermocouples seventeen eighteen eighteen and nine": "thermocouple-output 17; thermocouple-output 18; "
    "thermocouple-output 18; thermocouple-output 9",
    "thermocouple may be failing: 9 mV after a minute": "thermocouple-output 9",
    "flame failures gone round with a stopwatch left oven nineteen seconds right oven twenty four grill thirty one": (
        "drop-out-time 19; drop-out-time 24; drop-out-time 31"
    ),
    "flame failure did not shut inside the limit, 85 seconds; thermocouple changed; retest 29 seconds": (
        "drop-out-time 85; drop-out-time 29"
    ),
    "left one dropped out after twenty two right one eighteen": "drop-out-time 22; drop-out-time 18",
    "pushed it in for twelve seconds and it stayed, out after twenty two": "hold-in-time 12; drop-out-time 22",
    "flame failure a minute and ten": "drop-out-time 70",
    "magnet clicks off in twenty eight seconds": "drop-out-time 28",
    "air in the room with the fire on full, CO 0 ppm": "ambient-co 0",
    "ambient's reading two parts": "ambient-co 2",
    "co forty co two nine point two fan was fitted the back end of last year": "co 40; co2 9.2",
    "the fuse, it's a 3 and it should be": "fuse-rating 3",
    "electrode distance was six, bent it to four": "spark-gap 6; spark-gap 4",
    "gap's three and a half mil on three of them four on the other one": "spark-gap 3.5; spark-gap 4",
    "electrode's a good seven mil from the cap, bent it in to four": "spark-gap 7; spark-gap 4",
    "injector of rear left is wrong, somebody put 1.28, should be 0.94": "injector-size 1.28",
    "15 mm branch to the cooker, 6 m of it": "pipe-size 15; pipe-length 6",
    "showing nothing on the gauge well point four it was so i filled her up to one point two": "system-pressure 0.4; "
    "system-pressure 1.2",
    "water pressure's reading one and a half bar": "system-pressure 1.5",
    "working drops from twenty to eighteen three when the boiler fires": "working-pressure 20; working-pressure 18.3",
    "twenty one dead off the standing and nineteen off the working": "standing-pressure 21; working-pressure 19",
    "the working was a bit low at seventeen two": "working-pressure 17.2",
    "lost three mil in two minutes": "tightness-drop 3; test-duration 120",
    "two minute test lost one mil": "test-duration 120; tightness-drop 1",
    "tightness test two minutes not a sausage": "test-duration 120; tightness-drop 0",
    "grill thermocouple twenty two millivolts but the oven one only nine": "thermocouple-output 22; thermocouple-output 9",
    "thermocouples in the ovens, left twenty right twenty two": "thermocouple-output 20; thermocouple-output 22",
    "drop outs: left 24, centre 31, right 28": "drop-out-time 24; drop-out-time 31; drop-out-time 28",
    "knob's got to be held for ten seconds": "hold-in-time 10",
    "room's nought parts": "ambient-co 0",
    "CO in room: 0 ppm": "ambient-co 0",
    "spark gaps all four mil": "spark-gap 4",
    "seventy seven in the front left jet": "injector-size 0.77",
    "vessel's charge was flat, pumped it to nought point seven five": "system-pressure 0.75",
    "the vent under the sink is fifty square centimetres": "vent-area 50",
    "gaps: front left 3 mm, both rears 5 mm": "spark-gap 3; spark-gap 5; spark-gap 5",
    "thermocouples: rear left 18, the front two 22": "thermocouple-output 18; thermocouple-output 22; thermocouple-output 22",
    "jets: rear right 77, 72 on both of the left": "injector-size 0.77; injector-size 0.72; injector-size 0.72",
    "drop outs front left nineteen seconds front right the same rear left thirty": (
        "drop-out-time 19; drop-out-time 19; drop-out-time 30"
    ),
    "oven thermocouple 17 mV, grill one 6 mV": "thermocouple-output 17; thermocouple-output 6",
    "let by first one minute no rise": "test-duration 60; let-by-rise 0",
    "tightness, 2 minutes, no drop. Changed the flex. A last go, 2 minutes, no drop": (
        "test-duration 120; tightness-drop 0; test-duration 120; tightness-drop 0"
    ),
    "room's four by three point one and two and a half high": "room-length 4; room-width 3.1; room-height 2.5",
    "pressure at the meter, everything running, 19.4, at the boiler, 18.6, that's 0.8 millibar lost": (
        "working-pressure 19.4; working-pressure 18.6"
    ),
    "standing at the bottle 37, dropping to 35": "standing-pressure 37; working-pressure 35",
    "ambient CO nought, then I lit it and it went up to twelve parts in the garage": "ambient-co 0; ambient-co 12",
    "the oven dropped out at forty seconds and the grill at thirty one": "drop-out-time 40; drop-out-time 31",
    "the pressure of the heating is 0.6, I fill it to 1.3": "system-pressure 0.6; system-pressure 1.3",
    "mains electric two forty one": "supply-voltage 241",
}

# What sounds like a reading and is none: common practice, no source.
NONE = [
    "working pressure should be twenty",
    "the limit's nought point nought nought four",
    "working pressure was eighteen last year",
    "customer says the pressure was one bar",
    "U6 meter and a G4 next door",
    "part number 7716 43",
    "ring me on 01632 960 411",
    "oven at two hundred degrees",
    "ten mil bond",
    "seven mil spanner",
    "that was forty quid",
    "all four burners fine",
    "fitted in twenty nineteen",
    "if you get more than four millibar drop",
    "house number 14",
    "pipework: it's under a foot of water",
    "she say no change now no money",
    "expansion vessel: nil charge, bladder gone",
    "flue's three hundred from the window",
    "cap broken in two parts",
    "a proper sixty five went in",
    "pipe it up properly in fifteen mil",
    "it lights and goes out after a minute",
    "the burner's under the sink",
    "minimum's twelve millivolts for a thermocouple",
    "all four burners are the same",
    "the kitchen's twelve years old",
    "both rear taps the same",
]


def _plainly(text: str) -> str:
    return "; ".join(f"{r.quantity} {r.value}" for r in by_rules(text).readings)


@pytest.mark.parametrize(("said", "gives"), SAID.items())
def test_usual_wordings(said: str, gives: str) -> None:
    """Each usual wording gives its reading in the quantity's unit, and nothing else."""
    assert _plainly(said) == gives


@pytest.mark.parametrize("said", NONE)
def test_what_is_no_reading(said: str) -> None:
    """Targets, limits, other years, other people's words, numbers of things and names are no readings."""
    assert _plainly(said) == ""


def _one(text: str) -> Reading:
    (reading,) = by_rules(text).readings
    return reading


@pytest.mark.parametrize("said", ["triple oh four", "nought four"])
def test_a_ratio_with_two_meanings_is_in_doubt(said: str) -> None:
    """Where two values fit the reading is marked as unsure instead of looking certain."""
    reading = _one(f"ratio {said}")
    assert reading.confidence < 0.5
    assert any("two readings fit" in why.rule for why in reading.why)


def test_a_correction_keeps_what_it_replaced() -> None:
    """A figure taken back stays in the record as superseded."""
    reading = _one("working pressure nineteen and a half no sorry I mean twenty and a half")
    assert (reading.value, reading.superseded) == (Decimal("20.5"), "19.5")


def test_a_figure_moves_to_the_quantity_it_is_corrected_to() -> None:
    """The right figure under the wrong name ends under the right one."""
    assert _plainly("working pressure thirty six hang on that was standing thirty six") == "standing-pressure 36"


def test_said_twice_is_one_reading() -> None:
    """The same figure of the same quantity said again is not counted again."""
    assert _plainly("working pressure twenty. So that's a working pressure of twenty") == "working-pressure 20"


def test_phases_of_a_row_and_of_a_single_figure() -> None:
    """A phase behind a row of combustion figures holds for all of it; "set to" makes what was read before as found."""
    row = by_rules("CO 120 ppm, CO2 5.2 percent, ratio 0.0023 as found. CO 40 ppm, ratio 0.0008 as left").readings
    assert [r.phase for r in row] == ["as-found"] * 3 + ["as-left"] * 2
    for text in (
        "gap was six set it to four",
        "I turned the burner pressure down from fourteen to twelve point eight",
        "system pressure it was down to point four so I brought it up to one point three",
        "took the pressure up from one bar to one point four",
        "working eighteen then after I changed the hose twenty point one",
        "working pressure eighteen two after adjusting nineteen five",
        "spark gap five mil closed to three point five",
        "ratio before 0.0009, after clean 0.0005",
        "working pressure before 18, after 20",
        "CO before the sweep was 120 and after the sweep 48",
        "thermocouple nine millivolts new one in and it's twenty four flue passed",
    ):
        assert [r.phase for r in by_rules(text).readings] == ["as-found", "as-left"], text
    assert [r.phase for r in by_rules("rear left thermocouple twelve millivolts").readings] == [None]


def test_the_start_pressure_is_kept_with_the_drop() -> None:
    """A tightness test keeps the pressure it started from, which is no reading of its own."""
    reading = _one("tightness test twenty down to nineteen eight")
    assert (reading.value, reading.start_value) == (Decimal("0.2"), Decimal(20))


def test_what_was_read_after_the_work_is_as_left_and_the_next_place_is_not() -> None:
    """ "After" closes the second of two, "now" the figure before a place."""
    readings = by_rules("thermocouple twelve before I cleaned it and nineteen after it was all soot").readings
    assert [reading.phase for reading in readings] == ["as-found", "as-left"]
    readings = by_rules("thermocouples back right eight changed it twenty five now back left eighteen").readings
    assert [reading.phase for reading in readings] == ["as-found", "as-left", None]


def test_cubic_feet_are_never_filed_as_cubic_metres() -> None:
    """A meter that counts cubic feet is read as such."""
    reading = _one("meter reading three thousand four hundred and ten cubic feet")
    assert (reading.cubic_feet, reading.unit) == (Decimal(3410), "ft3")


def test_the_words_said_keep_their_zeros() -> None:
    """`said` holds the figure as it was said, leading zeros included."""
    assert _one("meter reading 04512.361").said == "04512.361"


def test_basis_and_comparator() -> None:
    """Gross or net and greater or less stay with the value."""
    assert _one("heat input ten kilowatts gross").basis == "gross"
    assert _one("plate says 24 kilowatt's net").basis == "net"
    assert _one("badge is twenty four kilowatts and that's net").basis == "net"
    assert _one("net heat input twenty three point nine").basis == "net"
    assert _one("insulation greater than nine nine nine meg").comparator == ">"


WORDS = (
    "working pressure standing twenty nineteen eight point five millibar no sorry make that as found left co two parts "
    "should be last year tightness drop down to meter reading oh one and a half minutes seconds , . front rear 20.5 3A"
).split()


@settings(deadline=None)
@given(st.lists(st.sampled_from(WORDS), max_size=40))
def test_any_talk_gives_readings_of_the_vocabulary_with_exact_words(words: list[str]) -> None:
    """Whatever is said: known quantities, their units, evidence that is exactly in the text, confidence between 0 and 1."""
    text = " ".join(words)
    for reading in by_rules(text).readings:
        evidence = reading.evidence
        assert reading.unit in (vocabulary().quantities[reading.quantity][1], "ft3")
        assert text[evidence.start : evidence.end] == evidence.text != ""
        assert 0 < reading.confidence <= 1
        assert reading.phase in (None, "as-found", "as-left")
        assert all(why.evidence is None or text[why.evidence.start : why.evidence.end] for why in reading.why)


@settings(deadline=None)
@given(st.integers(min_value=1, max_value=99), st.integers(min_value=0, max_value=9))
def test_a_pressure_in_words_is_read_as_it_was_said(whole: int, tenth: int) -> None:
    """Any pressure in tenths, said in words, is that pressure."""
    from num2words import num2words

    said = num2words(whole).replace("-", " ")
    reading = _one(f"working pressure {said} point {num2words(tenth)} millibar")
    assert reading.value == Decimal(f"{whole}.{tenth}")
