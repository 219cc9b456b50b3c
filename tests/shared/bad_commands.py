"""Commands that cannot be obeyed, each with a piece of the one line that says so.

A command is written as in a shell. Where it runs, ``taken`` is a file, ``folder`` a folder, ``pipe`` a
named pipe, ``loop`` a link to itself and ``nowhere`` a link to nothing.
"""

from double_study.cli.main import COMMANDS as NAMES
from shared.table_rows import cases

# An option, values that it cannot have, and what is allowed.
NUMBERS = """
count --deals       | none 0 -5 1.5 nan inf 1e99 1_0_ _1 ٣ | a whole number from 1
count --seed        | -1 2.5 seven 1e30                    | a whole number from 0
count --workers     | 0 two 100000                         | a whole number from 1
report --deals      | many                                 | a whole number from 1
report --workers    | -1                                   | a whole number from 1
check --seed        | x                                    | a whole number from 0
check --deals       | 0                                    | a whole number from 1
compare reference not_played --deals | 0                   | a whole number
how-often level==1 --to | 0 2 fine +0.1 ٠.١ 0.1_ | a number from 0.000001 to below 1
explore --port      | 80 many 70000                        | a whole number from 1024
lesson --minutes    | 5                                    | a whole number from 20 to 180
lesson --boards     | 400                                  | a whole number from 4 to 36
lesson --course     | 3                                    | a whole number from 4 to 4
boards --out lesson --number      | 0 1e6 many             | a whole number from 1
boards --out lesson --near-misses | -1                     | a whole number from 0
boards --out lesson --deals       | 0 1e12                 | a whole number from 1
boards --out lesson --seed        | x                      | a whole number from 0
"""

COMMANDS = """
                                    | required: COMMAND
recount                             | invalid choice: 'recount'
count --deals                       | --deals expected one argument
count --deals 1e999999999           | is not a whole number from 1
count --seed=--                     | --seed=--: the option has no value
count --deal 100                    | unrecognized arguments: --deal
count 1000                          | unrecognized arguments: 1000
count --agreement missing.toml; exact --agreement missing.toml | agreement missing.toml
report --agreement missing.toml     | agreement missing.toml
count --agreement .                 | agreement .
count --deals 10 --cluster here     | --cluster here: no scheduler answers there
count --deals 10 --store taken      | taken: it is damaged, or no store of this study; allowed
compare                             | FILE.toml
compare reference                   | one agreement alone cannot be compared
compare reference reference         | two agreements have the name reference
compare reference missing.toml      | agreement missing.toml: No such file
how-often "level.real == 1"; how-often "call == 'doubel'"; how-often "lvel == 1" | allowed
agreement --agreement missing       | agreement missing
agreement --force                   | --force has no effect alone; allowed: with --new
agreement --new mine                | --new mine cannot be written; allowed: a name ending in .toml
agreement --new missing/mine.toml   | allowed: a name ending in .toml, in a folder
agreement --new mine.toml --settings | --new starts from the reference, so it takes no other
agreement --new mine.toml --agreement through_2s | --new starts from the reference
report --out taken; exact --out taken | --out taken
cite folder                         | folder: no report is there; allowed:
cite taken                          | taken
exact --deals 100                   | unrecognized arguments: --deals
lesson --course 4 --level 2         | not allowed with argument
lesson --topic hearts               | --topic invalid choice: 'hearts'
lesson --level 4          | --level 4: the agreement reference has no such double; allowed
lesson --topic either_major_1 | --topic either_major_1: the agreement reference has no
lesson --agreement not_played       | does not play the responder's double
lesson --deals 1                    | --deals 1: no double came up; allowed: more deals
quiz --html . --questions 3         | --html .: this is not a file
quiz --html q.html --agreement not_played | does not play the responder's double
ask                                 | required: HAND
boards --out                       | --out expected one argument
boards --out taken                 | --out taken: this is not a folder
boards --out taken/lesson          | taken
boards --only; boards --only -1:5  | --only expected one argument
boards --only 7                    | --only 7 is not BLOCK:DEAL
boards --only 1:50000              | --only 50000 is not a whole number from 0 to 49999
boards --only x:5                  | --only x is not a whole number from 0
boards --only 0:0 --seed 4         | the auction does not reach the responder
boards --only 0:5 --number 3       | --number cannot be used with --only
boards --only 0:5 --case level=2   | --case cannot be used with --only
boards --only 0:5 --near-misses 1  | --near-misses cannot be used with --only
boards --only 0:5 --force | --force cannot be used with --only, which draws nothing; allowed: with --out
"""

BOARDS = """
--only 0:1                              | not allowed with argument
--board 3    | --board has no effect without --only; allowed: with --only BLOCK:DEAL
lessons                                 | unrecognized arguments: lessons

--mix fair                              | --mix invalid choice: 'fair'
--side west                             | --side invalid choice: 'west'
--ask overcaller                        | --ask invalid choice: 'overcaller'
--agreement missing.toml                | agreement missing.toml
--agreement not_played                  | does not play the responder's double

--case level                            | 'level' is not key=value
--case level=2,                         | '' is not key=value
--case suit=hearts                      | there is no key 'suit'; allowed: message, level
--case level=2,level=3                  | level is given twice
--case level=5                          | level cannot be '5'; allowed: 1, 2, 3, 4
--case message=hearts                   | message cannot be 'hearts'; allowed: both_majors
--case reason=boredom                   | reason cannot be 'boredom'; allowed: both_suits
--case opening=2C                       | opening cannot be '2C'; allowed: 1C, 1D, 1H, 1S
--case overcall=1NT                     | overcall cannot be '1NT'; allowed: 1D, 1H
--case answer=maybe                     | answer cannot be 'maybe'; allowed: penalty_pass

--case opening=1S,overcall=1H           | cannot occur under the agreement reference
--case opening=1H,overcall=2H; --case message=both_minors,opening=1C | cannot occur
--case message=either_major; --case message=both_majors,reason=five_or_more | cannot occur
--case level=3,reason=four_and_ordinary; --ask opener --case message=five_spades,level=2 | cannot occur
--ask opener --case message=five_spades,answer=rebid | cannot occur
--case level=4   | cannot occur under the agreement reference (double through 3S)
--case message=five_spades  | only the opener can be asked about this case; allowed: with --ask opener
--ask reopening --case message=other_major | a case of the double; allowed with
--ask reopening --near-misses 2 | --near-misses 2 cannot be used with --ask reopening
--ask reopening --deals 1 | openers in the pass-out seat: the search of 1 deals found 0

--deals 2000 --number 1000              | doubles:
--deals 2000 --number 500 --case level=3 | --case level=3:
--deals 2000 --number 500 --case level=3 | , not 500; allowed
--deals 2000 --number 1 --near-misses 1000 | --near-misses: hands for the responder:
--deals 1 --mix even                    | any double: the search of 1 deals found 0, not 24
"""

HANDS = """
; K752; K752.AJ64.83; K752.AJ64.83.T92.; K752 AJ64 83 T 92; AK ♠752 ♥AJ64 ♦83 ♣T9 | does not have four suits
K752.AJ64.83.T9             | 12 cards
K752.AJ64.83.T982           | 'K752.AJ64.83.T982' has 14 cards
...                         | 0 cards
A.-.-.-                     | 1 card;
K752.AJ64.83.T99            | ♣9 twice
♠K75 ♠2 ♥AJ64 ♦83 ♣T92 ♠K   | ♠K twice
K752.AJ64.83.1T2            | '1' is not a card
K752.AJ64.83.T9X            | 'X' is not a card
AKQJT9876.432.2.            | no deal has this auction and this hand
"""

# The second hand has 12 HCP and would have opened.
AUCTIONS = """
K752.AJ64.83.T92 | ; pass pass     | has no opening and overcall
K752.AJ64.83.T92 | 1D; 1D pass; 1D X | has no overcall
K752.AJ64.83.T92 | 1D 1S pass | the study does not cover this auction; allowed: 1D 1S for the responder
K752.AJ64.83.T92 | p p p p 1D 1S   | 4 passes
K752.AJ64.83.T92 | 1D 8S           | '8S' is not a bid
K752.AJ64.83.T92 | 2D 3C           | opens 2D; allowed: 1C, 1D, 1H or 1S
K752.AJ64.83.T92 | 1NT 2C          | opens 1NT
K752.AJ64.83.T92 | 1D 1NT          | an overcall in a suit
K752.AJ64.83.T92 | 1D 2D           | a suit other than diamonds
K752.AJ64.83.T92 | 1S 1H           | not higher than 1S
K752.AJ64.83.T92 | 1S 1S           | a suit other than spades
K752.AJ64.83.T92 | 1D 5C; 1D 7S    | by the rules; allowed
AK752.AJ64.83.T9 | pass pass 1D 1H | passed in seat 1, but it would have opened 1S
AK752.AJ64.83.T9 | pass pass pass 1D 1H | passed in seat 2, but it would have opened 1S
AKQJT98765432... | 1S 2H           | no deal has this auction and this hand
K752.AJ64.83.T92 | pass pass pass 1D 3C | no deal has this auction and this hand
AK752.AJ64.83.T9 | 1D 1H X P P; 1D 1H X 1D; 1D 1H X X; 1D 1H P 2H | the study does not cover this auction
AK752.AJ64.83.T9 | 1D 1H X P       | the hand opened 1D in seat 1, but it would have opened 1S
K752.AJ64.83.T92 | pass 1D 1H X P  | the hand opened 1D in seat 2, but it would have passed
AK752.AJ64.83.T9 | 1S 4D X P       | no hand from the other 39 cards doubles it
"""


def each(table: str, command: str = "{}") -> list[tuple[str, str]]:
    """Put the cells of a table into a command; alternatives in its last cell have ; between them."""
    return [
        (command.format(*cells, one.strip()), said)
        for *cells, several, said in cases(table)
        for one in several.split(";")
    ]


BAD_COMMANDS = [
    *(
        (f"{command} {value}", f"{command.split()[-1]} {value} is not {allowed}")
        for command, values, allowed in cases(NUMBERS)
        for value in values.split()
    ),
    *each(COMMANDS),
    *each(BOARDS, "boards --out lesson {}"),
    *each(HANDS, 'ask "{}" "1D 1S"'),
    *each(AUCTIONS, 'ask {} "{}"'),
    ('ask "K752.AJ64.83.T9\n" "1D 1S"', "12 cards"),
    ("ask K752.AJ64.83.T92 1D 1S 1C", "the study does not cover this auction"),
    ("ask K752.AJ64.83.T92 1D 1S --agreement missing.toml", "missing.toml"),
    ("ask K752.AJ64.83.T92 1D 1S --deals 7", "unrecognized arguments"),
    *((f'{name} "--no\x1b[31m\n\t\u202e{"x" * 10_000}"', "double-study: ") for name in NAMES),
    (f"agreement --new {'x' * 300}.toml", "File name too long; allowed: "),
]

LONG = "x" * 300
DEEP = "/".join(["x" * 100] * 50)

BAD_FOLDERS = [
    *"/ // taken taken/inside pipe pipe/inside loop loop/in nowhere nowhere/inside".split(),
    *"/dev/null /dev/full /dev/null/inside /proc/self/mem /proc/none/out".split(),
    *("", ".." * 200, LONG, DEEP, f"folder/{LONG}", f"{LONG}/inside", "a\0b", "\udcff" * 250),
]

BAD_FILES = [
    *"/ . .. folder folder/ pipe pipe/inside loop loop/inside nowhere missing/run.store".split(),
    *"taken/inside /dev/null /dev/full /dev/zero /dev/stdin /proc/self/mem /proc/none".split(),
    *("", LONG, DEEP, "a\0b"),
]

BAD_ADDRESSES = [
    *"here tcp tcp: tcp:// tls:// tls://127.0.0.1:1 tcp://127.0.0.1:1 tcp://127.0.0.1:0".split(),
    *"tcp://127.0.0.1:99999 tcp://127.0.0.1:-1 tcp://127.0.0.1:x tcp://[::1 tcp://[::1]:1".split(),
    *"ucx://127.0.0.1:1 inproc:// inproc://1/1/1 ws://x:1 http://127.0.0.1:1".split(),
    *"file:///etc/passwd tcp://a..b:1 127.0.0.1:1 :1 1".split(),
    *("", " ", "a\0b", "\x1b[31m", "tcp://\udcff:1", "x" * 5000, f"tcp://{'x' * 5000}:1"),
    *("\n", "\u202e"),
]
