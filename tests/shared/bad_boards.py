"""Requests for boards that cannot be met: arguments of the command, and a piece of the complaint.

``taken`` is a file in the place where the command runs.
"""

OUT = "--out lesson "

BAD_BOARDS = [
    ("--out", "--out expected one argument"),
    ("--out taken", "--out taken: this is not a folder"),
    ("--out taken/lesson", "taken"),
    (OUT + "--only 0:1", "not allowed with argument"),
    (OUT + "--board 3", "--board has no effect without --only; allowed: with --only BLOCK:DEAL"),
    (OUT + "lessons", "unrecognized arguments: lessons"),
    # numbers
    (OUT + "--number 0", "--number 0 is not a whole number from 1"),
    (OUT + "--number 1e6", "--number 1e6 is not a whole number from 1"),
    (OUT + "--number many", "--number many is not a whole number from 1"),
    (OUT + "--near-misses -1", "--near-misses -1 is not a whole number from 0"),
    (OUT + "--deals 0", "--deals 0 is not a whole number from 1"),
    (OUT + "--deals 1e12", "--deals 1e12 is not a whole number from 1"),
    (OUT + "--seed x", "--seed x is not a whole number from 0"),
    # choices
    (OUT + "--mix fair", "--mix invalid choice: 'fair'"),
    (OUT + "--side west", "--side invalid choice: 'west'"),
    (OUT + "--ask overcaller", "--ask invalid choice: 'overcaller'"),
    (OUT + "--agreement nowhere.toml", "agreement nowhere.toml"),
    (OUT + "--agreement not_played", "does not play the responder's double"),
    # cases as they are written
    (OUT + "--case level", "'level' is not key=value"),
    (OUT + "--case level=2,", "'' is not key=value"),
    (OUT + "--case suit=hearts", "there is no key 'suit'; allowed: message, level"),
    (OUT + "--case level=2,level=3", "level is given twice"),
    (OUT + "--case level=5", "level cannot be '5'; allowed: 1, 2, 3, 4"),
    (OUT + "--case message=hearts", "message cannot be 'hearts'; allowed: both_majors"),
    (OUT + "--case reason=boredom", "reason cannot be 'boredom'; allowed: both_suits"),
    (OUT + "--case opening=2C", "opening cannot be '2C'; allowed: 1C, 1D, 1H, 1S"),
    (OUT + "--case overcall=1NT", "overcall cannot be '1NT'; allowed: 1D, 1H"),
    (OUT + "--case answer=maybe", "answer cannot be 'maybe'; allowed: penalty_pass"),
    # cases that cannot occur
    (OUT + "--case opening=1S,overcall=1H", "cannot occur under the agreement reference"),
    (OUT + "--case opening=1H,overcall=2H", "cannot occur"),
    (OUT + "--case level=4", "cannot occur under the agreement reference (double through 3S)"),
    (OUT + "--case message=both_minors,opening=1C", "cannot occur"),
    (OUT + "--case message=either_major", "cannot occur"),
    (OUT + "--case message=both_majors,reason=five_or_more", "cannot occur"),
    # ten total points are needed at level 3, and ten are strong
    (OUT + "--case level=3,reason=four_and_ordinary", "cannot occur"),
    (
        OUT + "--case message=five_spades",
        "only the opener can be asked about this case; allowed: with --ask opener",
    ),
    (OUT + "--ask opener --case message=five_spades,level=2", "cannot occur"),
    (OUT + "--ask opener --case message=five_spades,answer=rebid", "cannot occur"),
    (OUT + "--ask reopening --case message=other_major", "a case of the double; allowed with"),
    (
        OUT + "--ask reopening --near-misses 2",
        "--near-misses 2 cannot be used with --ask reopening",
    ),
    (
        OUT + "--ask reopening --deals 1",
        "openers in the pass-out seat: the search of 1 deals found 0",
    ),
    # more boards than the search has
    (OUT + "--deals 2000 --number 1000", "doubles: "),
    (OUT + "--deals 2000 --number 500 --case level=3", "--case level=3: "),
    (OUT + "--deals 2000 --number 500 --case level=3", ", not 500; allowed"),
    (
        OUT + "--deals 2000 --number 1 --near-misses 1000",
        "--near-misses: hands for the responder: ",
    ),
    (OUT + "--deals 1 --mix even", "any double: the search of 1 deals found 0, not 24"),
    # one board again
    ("--only", "--only expected one argument"),
    ("--only 7", "--only 7 is not BLOCK:DEAL"),
    ("--only 1:50000", "--only 50000 is not a whole number from 0 to 49999"),
    ("--only -1:5", "--only expected one argument"),
    ("--only x:5", "--only x is not a whole number from 0"),
    ("--only 0:0 --seed 4", "the auction does not reach the responder"),
    ("--only 0:5 --number 3", "--number cannot be used with --only"),
    ("--only 0:5 --case level=2", "--case cannot be used with --only"),
    ("--only 0:5 --near-misses 1", "--near-misses cannot be used with --only"),
    (
        "--only 0:5 --force",
        "--force cannot be used with --only, which draws nothing; allowed: with --out",
    ),
]
