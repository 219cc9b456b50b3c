"""Requests for boards that cannot be met: arguments of the command, and a piece of the complaint.

``taken`` is a file in the place where the command runs.
"""

from shared.table_rows import cases

WITH_OUT = """
--only 0:1                              | not allowed with argument
--board 3    | --board has no effect without --only; allowed: with --only BLOCK:DEAL
lessons                                 | unrecognized arguments: lessons

--number 0                              | --number 0 is not a whole number from 1
--number 1e6                            | --number 1e6 is not a whole number from 1
--number many                           | --number many is not a whole number from 1
--near-misses -1                        | --near-misses -1 is not a whole number from 0
--deals 0                               | --deals 0 is not a whole number from 1
--deals 1e12                            | --deals 1e12 is not a whole number from 1
--seed x                                | --seed x is not a whole number from 0

--mix fair                              | --mix invalid choice: 'fair'
--side west                             | --side invalid choice: 'west'
--ask overcaller                        | --ask invalid choice: 'overcaller'
--agreement nowhere.toml                | agreement nowhere.toml
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
--case opening=1H,overcall=2H           | cannot occur
--case level=4   | cannot occur under the agreement reference (double through 3S)
--case message=both_minors,opening=1C   | cannot occur
--case message=either_major             | cannot occur
--case message=both_majors,reason=five_or_more | cannot occur
--case level=3,reason=four_and_ordinary | cannot occur
--case message=five_spades  | only the opener can be asked about this case; allowed: with --ask opener
--ask opener --case message=five_spades,level=2      | cannot occur
--ask opener --case message=five_spades,answer=rebid | cannot occur
--ask reopening --case message=other_major | a case of the double; allowed with
--ask reopening --near-misses 2 | --near-misses 2 cannot be used with --ask reopening
--ask reopening --deals 1 | openers in the pass-out seat: the search of 1 deals found 0

--deals 2000 --number 1000              | doubles:
--deals 2000 --number 500 --case level=3 | --case level=3:
--deals 2000 --number 500 --case level=3 | , not 500; allowed
--deals 2000 --number 1 --near-misses 1000 | --near-misses: hands for the responder:
--deals 1 --mix even                    | any double: the search of 1 deals found 0, not 24
"""

ALONE = """
--out                       | --out expected one argument
--out taken                 | --out taken: this is not a folder
--out taken/lesson          | taken
--only                      | --only expected one argument
--only 7                    | --only 7 is not BLOCK:DEAL
--only 1:50000              | --only 50000 is not a whole number from 0 to 49999
--only -1:5                 | --only expected one argument
--only x:5                  | --only x is not a whole number from 0
--only 0:0 --seed 4         | the auction does not reach the responder
--only 0:5 --number 3       | --number cannot be used with --only
--only 0:5 --case level=2   | --case cannot be used with --only
--only 0:5 --near-misses 1  | --near-misses cannot be used with --only
--only 0:5 --force | --force cannot be used with --only, which draws nothing; allowed: with --out
"""

BAD_BOARDS = [
    *((f"--out lesson {command}", said) for command, said in cases(WITH_OUT)),
    *cases(ALONE),
]
