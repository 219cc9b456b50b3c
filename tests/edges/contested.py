"""Edge cases of the advancer, of what follows its bid, and of reopening; see edges."""

# hand, opening, overcall, responder's call: advancer's call by name, call as made
ADVANCERS = """
K74.852.83.AQJ92  1D 1S X     strong_raise 2D     | 10 HCP and a doubleton: 11
K74.852.83.AQT92  1D 1S X     raise 2S            | 10
K7.8532.832.AQJ9  1D 1S X     pass pass           | two spades, no diamond stopper
AK742.8532.3.Q92  1D 1S X     strong_raise 2D     | 11 with five spades: the cue-bid first
A52.83.J742.KQ74  1H 2C X     strong_raise 2H     | over a two-level overcall that is no jump
852.K74.AQJ92.83  1S 2H X     strong_raise 2S     | the same
K74.852.83.AQJ92  1D 1S pass  strong_raise 2D     | after a pass as after a double
K74.852.83.AQJ92  1D 2S X     preemptive_raise 3S | a jump shows six: no cue-bid, nine trumps
K742.K52.83.QJ82  1D 1S X     strong_raise 2D     | 9 HCP with four spades
K742.K52.83.Q982  1D 1S X     preemptive_raise 3S | 8 HCP with four
K74.K52.832.QJ82  1D 1S X     raise 2S            | 9 HCP with three
8.K52.QJ82.K7642  1S 3C X     preemptive_raise 5C | 9 HCP with five, over a jump
K742.8532.83.Q92  1D 1S X     preemptive_raise 3S | nine trumps, 6
K742.8532.83.J92  1D 1S X     pass pass           | nine trumps, 5
K74.8532.83.Q982  1D 1S X     raise 2S            | eight trumps, 6
K74.8532.83.J982  1D 1S X     pass pass           | eight trumps, 5
K7542.8532.3.Q92  1D 1S X     preemptive_raise 4S | ten trumps
K76542.8532.3.Q9  1D 1S X     preemptive_raise 4S | eleven trumps: game is lower
852.83.KJ742.Q92  1C 1D X     preemptive_raise 4D | ten trumps in a minor
852.83.KJ7642.Q9  1C 1D X     preemptive_raise 5D | eleven trumps
85.83.KJ76542.Q9  1C 1D X     preemptive_raise 5D | twelve trumps: game is lower
K852.83.T74.Q742  1H 2C X     preemptive_raise 3C | nine trumps over an overcall at level 2, 6
K74.8532.83.Q982  1D 2S X     preemptive_raise 3S | three cards for a jump to 2S, 6
K74.8532.83.J982  1D 2S X     pass pass           | 5
K7.8532.832.Q982  1D 3S X     pass pass           | nine trumps: three spades are bid already
K74.8532.83.Q982  1D 3S X     preemptive_raise 4S | ten trumps
K74.8532.83.J982  1D 3S X     pass pass           | ten trumps, 5
852.83.K742.Q982  1C 3D X     preemptive_raise 5D | eleven trumps
K852.83.J742.K74  1H 2C X     raise 3C            | 8 at level 2
K852.83.T742.K74  1H 2C X     pass pass           | 7
82.J532.83.KQJ92  1D 1S X     new_suit 2C         | 7 HCP and a fifth club: 8
82.T532.83.KQJ92  1D 1S X     pass pass           | 7
82.3.J8532.KQT92  1D 1S X     new_suit 2C         | 6 HCP and two suits of five: length in Y counts
82.KQ32.83.J9842  1D 1S X     pass pass           | clubs not good
82.J532.832.KQJ9  1D 1S X     pass pass           | four clubs
82.KQJ92.832.K92  1D 1S X     pass pass           | hearts are promised
82.KQJ92.832.K92  1D 1S pass  new_suit 2H         | nothing is promised after a pass
82.KQJ92.8.KJ932  1D 1S pass  new_suit 2H         | five of each: hearts
82.KQJ92..KJ9632  1D 1S pass  new_suit 2C         | the longer
82.KQJ92..J98632  1D 1S pass  pass pass           | the longer is not good; hearts are not tried
KQJ92.8532.83.J2  1C 1D pass  new_suit 1S         | 8 at level 1
KQJ92.8532.83.T2  1C 1D pass  pass pass           | 7
KQJ92.8532.83.J2  1C 1D X     pass pass           | both majors are promised
KQJ92.83.8532.J2  1H 2C pass  new_suit 2S         | 8 at level 2
8532.83.K3.AQJ92  1S 2H pass  new_suit 3C         | 11 at level 3
8532.83.Q3.AQJ92  1S 2H pass  pass pass           | 10
8532.K3.83.AQJ92  1H 2D X     new_suit 3C         | 11 at level 3, spades promised
82.KQJ92.832.AK2  1D 2S pass  pass pass           | no new suit over a jump
82.Q532.KJ3.Q982  1D 1S X     notrump 1NT         | 8, two spades, KJx
82.J532.KJ3.Q982  1D 1S X     pass pass           | 7
8.Q532.KJ83.Q982  1D 1S X     pass pass           | one spade
82.KQ532.Q3.Q982  1D 1S X     pass pass           | Qx does not stop
82.J53.KJ3.KQJ92  1D 1S X     new_suit 2C         | the new suit before notrump
K532.KJ3.Q982.Q2  1H 2C X     notrump 2NT         | 11 at level 2
K532.KJ3.Q982.J2  1H 2C X     pass pass           | 10
82.AQ32.KJ3.Q982  1D 2S X     pass pass           | no notrump over a jump
82.Q532.KJ3.KQ82  1D 1S X     notrump 1NT         | 11 at level 1
82.K532.KJ3.KQ82  1D 1S X     notrump 2NT         | 12
82.AK32.KJ3.QJ82  1D 1S X     notrump 2NT         | 14
82.AK32.KJ3.KJ82  1D 1S X     notrump 3NT         | 15
K532.KJ3.KJ82.Q2  1H 2C X     notrump 2NT         | 13 at level 2
K532.KJ3.AJ82.Q2  1H 2C X     notrump 3NT         | 14
"""

# opener's hand, opening, overcall, advancer's bid: answer by name, answer as made
CONTESTED_ANSWERS = """
83.KQ52.AK853.J2  1D 1S 2C   raise_minimum 2H | 15 at level 2
83.KQ52.AK853.Q2  1D 1S 2C   raise_jump 3H    | 16
83.KQ52.AKQ53.K2  1D 1S 1NT  raise_game 4H    | 19
83.KQ52.AJ853.92  1D 1S 1NT  raise_minimum 2H | at level 2 any four
83.KQ52.AQ853.92  1D 1S 2S   raise_minimum 3H | 13 at level 3
83.KQ52.AJ853.92  1D 1S 2S   pass pass        | 12
8.KQ52.AJ853.T92  1D 1S 2S   raise_minimum 3H | 12 with one spade
8.KJ52.AJ853.T92  1D 1S 2S   pass pass        | 11
83.KQ52.AK853.Q2  1D 1S 2S   raise_minimum 3H | 16: no jump
83.KQ52.AK853.K2  1D 1S 2S   raise_game 4H    | 17
83.KQ52.AK853.Q2  1D 1S 3S   raise_game 4H    | 16 at level 4
83.KQ52.AK853.J2  1D 1S 3S   pass pass        | 15
8.KQ52.AJ853.Q92  1D 1S 3S   raise_game 4H    | 14 with one spade
8.KQ52.AJ853.J92  1D 1S 3S   pass pass        | 13
83.KJ52.AJ8532.9  1D 2S 3S   pass pass        | six diamonds are not bid at level 4
8.AKQ52.KQ52.A32  1H 1S 4S   strong_double X  | level 5: no raise; 18 HCP
KQ52.AJ64.8.K952  1C 1D 2D   raise_minimum 2S | four in each: spades
83.AK752.KJ52.92  1H 1S 1NT  raise_minimum 2D | a minor at level 2
83.AK752.KQ52.Q2  1H 1S 1NT  raise_jump 3D    | 16
83.AK752.KJ52.92  1H 1S 2S   raise_minimum 3D | 13 at level 3
83.AK752.QJ52.92  1H 1S 2S   pass pass        | 12
8.AKQ52.KQ52.A32  1H 1S 2S   raise_minimum 3D | 20: no leap to game in a minor
83.AK752.KQ52.K2  1H 1S 3S   raise_minimum 4D | 17 at level 4
83.AK752.KQ52.Q2  1H 1S 3S   pass pass        | 16
8.AK752.KQ52.J92  1H 1S 3S   raise_minimum 4D | 15 with one spade
8.AK752.KQ52.T92  1H 1S 3S   pass pass        | 14
8.AKQ752.32.KQ52  1H 1S 3S   raise_minimum 4C | four clubs before six hearts at level 4
8.AKQ752.32.KJ52  1H 1S 1NT  own_suit 2H      | six hearts before four clubs
8.AKQ752.Q2.KJ52  1H 1S 2S   raise_minimum 3C | four clubs before six hearts at level 3
83.AKQ752.Q32.K2  1H 1S 2S   own_suit 3H      | 14 HCP with six at level 3
83.AKQ752.J32.K2  1H 1S 2S   pass pass        | 13
83.AKQ752.Q32.K2  1H 1S 2H   own_suit 3H      | over the cue-bid of hearts
83.A2.AQJ852.J92  1D 1S 2C   own_suit 2D      | level 2
K3.A2.AQJ852.J92  1D 1S 2S   own_suit 3D      | 15
Q3.A2.AQJ852.J92  1D 1S 2S   own_suit 3D      | 14
J3.A2.AQJ852.J92  1D 1S 2S   pass pass        | 13
83.A2.AQJ8532.J2  1D 1S 2S   own_suit 3D      | seven need no points
83.A2.AQJ8532.J2  1D 1S 3S   pass pass        | seven of a minor stop at level 3
83.AQJ8532.A2.J2  1H 1S 3S   own_suit 4H      | seven of a major do not
83.AQJ853.A32.K2  1H 1S 3S   pass pass        | six
83.2.AKJ52.KJ952  1D 1S 1NT  second_suit 2C   | level 2
83.2.AKJ52.KJ952  1D 1S 2S   pass pass        | 12 at level 3
83.2.AKJ52.AQJ52  1D 1S 2S   second_suit 3C   | 15
83.2.AKJ52.AQT52  1D 1S 2S   pass pass        | 14
83.A2.AKJ52.KJ95  1D 1S 1NT  pass pass        | four clubs are no second suit
83.2.AKJ52.AKT52  1D 1S 2C   strong_double X  | the advancer's suit; 15 with two spades
8.32.AKJ52.AKJ52  1D 1S 2C   strong_double X  | the advancer's suit; 16 with one spade
KJ3.AQ2.KQ52.K92  1D 1S 2S   notrump 2NT      | 18 with a stopper
KJ3.AQ2.KQ52.K92  1D 1S 1NT  notrump 2NT      | over 1NT
KJ3.AQ2.KQ52.K92  1D 1S 3S   notrump 3NT      | level 3
KJ3.AQ2.KQ52.K92  1D 1S 4S   strong_double X  | level 4
KJ3.AQ2.KQ52.Q92  1D 1S 2S   strong_double X  | 17
J83.AQ2.KQ52.AK2  1D 1S 2S   strong_double X  | 19 without a stopper
873.AQ2.AKJ5.KT2  1D 1S 2S   strong_double X  | 17 with three spades
83.AQ2.AKJ52.QT2  1D 1S 2S   strong_double X  | 16 with two
83.AQ2.AKJ52.QT2  1D 1S 4S   pass pass        | 16 with two at level 4
83.AQ2.AKJ52.KT2  1D 1S 4S   strong_double X  | 17
873.AQ2.AKJ5.QT2  1D 1S 2S   pass pass        | 16 with three
8.AQ2.AKJ52.J982  1D 1S 2S   strong_double X  | 15 with one spade
8.AQ2.AKJ52.T982  1D 1S 2S   strong_double X  | 14 with one spade
8.AQ2.AKJ52.T982  1D 1S 1NT  strong_double X  | at any level
8.AQ2.AKT52.T982  1D 1S 2S   pass pass        | 13
83.AQ2.AKJ52.J98  1D 1S 2S   strong_double X  | 15 with two
83.AQ2.AKJ52.J98  1D 1S 3S   strong_double X  | at level 3
83.AQ2.AKJ52.J98  1D 1S 4S   pass pass        | not at level 4
83.AQ2.AKJ52.J98  1D 1S 1NT  pass pass        | nor at level 1
83.AQ2.AKJ52.T98  1D 1S 2S   pass pass        | 14 with two
"""

# The opening, the overcall and the advancer's call by name and as made; below it the hands of opener,
# overcaller and responder: contract, last bid, trumps, and 'settled' where the pair settles
CONTESTED_ENDS = {
    "1D 1S strong_raise 2D": """
83.A52.AQJ52.J92 AKQ72.Q3.83.K864 J4.KT84.K97.T753  their_contract 4S 4  | overcaller 14
83.A52.AQJ52.J92 AKQ72.J3.83.K864 J4.KT84.K97.T753  their_contract 2S 4  | overcaller 13
8.AQ2.AKJ52.KJ98 AKQ72.J3.83.T764 J4.KT84.974.Q532  part_score_fit 3D 8 settled | X, then 2S: 18 + 6
8.AQ2.AKJ52.KJ98 AKQ72.J3.83.T764 J4.KT84.Q74.Q532  game 4H 7 settled    | 18 + 8
8.AQ2.AKJ52.KJ98 AKQ72.J3.83.T764 J4.KT84.974.A532  game 4H 7 settled    | 18 + 8
8.AQ2.AKJ52.KJ98 AKQ72.J3.83.T764 JT94.K84.Q74.532  defended 2S 5        | four spades
83.KQ52.AKJ53.92 AKQ72.J3.84.AT64 J4.AT94.Q97.KQ75  their_contract 4S 4  | 14 over 2H; no game over 4S
83.KQ52.AKJ53.92 AKQ72.J3.84.K864 J4.AT94.Q97.AJ75  game 4H 8            | overcaller 2S over 2H, responder 13
83.KQ52.AKJ53.92 AKQ72.J3.84.K864 T4.AT94.Q97.AJ75  part_score_fit 3H 8  | responder 12
83.KQ52.AKJ53.92 AKQ72.J3.84.K864 T4.AT964.97.J753  part_score_fit 3H 9  | five hearts: on nine trumps
83.KQ52.AK853.Q4 AKQ72.J3.T4.K862 JT4.AT94.Q97.J75  their_contract 3S 5  | 3S over a jump, responder 8
83.KQ52.AK853.Q4 AKQ72.J3.T4.K862 JT4.AT94.QJ7.J75  game 4H 8            | responder 9
KJ3.AQ2.KQ52.K92 AQT97.T3.AT8.J63 42.KJ64.J64.QT85  their_contract 3S 5  | over 2NT: nothing raised
""",
    "1C 1D strong_raise 2C": """
K52.AJ2.83.KJ942 A3.83.AKQ72.Q863 QJ64.KT64.95.T75  their_contract 2D 4 | overcaller 15, a minor
KQ2.AQ52.8.KQ542 A3.83.AKJ72.JT86 JT65.JT64.95.A97  part_score_fit 3H 8 | no 3D over 3H; 7 over a jump
KQ2.AQ52.8.KQ542 A3.83.AKJ72.JT86 JT65.KT64.95.A97  game 4H 8           | 9 over a jump
""",
    "1C 1H strong_raise 2C": """
AKQ2.83.A4.KQJ52 J3.AKQ74.KJ8.764 T984.J2.Q652.A98  game 4S 8 | 14, but 4S is higher than 4H
""",
    "1D 1S raise 2S": """
83.KQ52.AKJ53.92 AKQ762.J3.84.864 T4.AT94.Q97.AJ75  game 4H 8                | six spades: 3S; responder 12
83.KQ52.AKJ53.92 AKQ762.J3.84.864 T4.AT94.T97.AJ75  their_contract 3S 4      | responder 10
83.KQ52.AKJ53.92 AKQ762.J3.84.864 T4.AT94.Q97.AT75  their_contract 3S 4      | responder 11
83.KQ52.AKJ53.92 AKQ762.J3.84.864 T4.AT964.97.J753  their_contract 3S 4      | five hearts, no room at level 3
83.KQ52.AKJ53.92 AKQ72.J3.84.KT86 T4.AT94.Q97.J753  part_score_fit 3H 8      | five spades: no 3S
83.A52.AQJ52.J92 AKQ762.J3.83.K86 J4.KT84.K97.T753  their_contract 2S 4      | six spades, opener passed
83.KQ52.AK853.J4 AKJ97.T3.T92.962 T42.AJ64.QJ4.K75  part_score_fit 3H 8      | 11 over three
83.KQ52.AK853.J4 AKJ97.T3.T92.962 T42.AJ64.Q64.KQ7  game 4H 8                | 12 over three
KJ3.AQ2.KQ52.K92 AQT97.T3.AT8.J63 42.KJ64.964.QT85  notrump_part_score 2NT - | 6
KJ3.AQ2.KQ52.K92 AQT97.T3.AT8.J63 42.KJ64.J64.QT85  three_notrump 3NT -      | 7
K3.A2.AQJ852.J92 AQJ97.T73.T93.76 T42.KJ64.K4.Q854  part_score_fit 3D 8      | 9 over level 3
K3.A2.AQJ852.J92 AQJ97.T73.T93.76 T42.KQ64.K4.Q854  three_notrump 3NT - settled | 10
83.2.AKJ52.AQJ52 AKQ97.T873.T9.63 J42.KQJ4.Q43.T97  part_score_fit 3C 8      | 9 over a second suit at level 3
83.2.AKJ52.AQJ52 AKQ97.T873.T9.63 J42.KQJ4.643.K97  game 5D 8 settled        | 10
8.AQ2.AKJ52.J982 AKQ97.T3.T93.Q63 42.KJ64.Q64.KT75  part_score_fit 3D 8 settled | opener's double: 15 + 9
8.AQ2.AKJ52.J982 AKQ97.T3.T93.Q63 42.KJ64.Q64.AT75  game 4H 7 settled        | 15 + 10
8.AQ2.AKJ52.J982 AKQ97.T3.T93.Q63 J642.KJ6.64.KT75  defended 2S 5            | four spades
8.AQ2.AKJ52.J982 AKQ97.T3.3.Q6543 42.J64.QT964.KT7  part_score_fit 3D 10 settled | 15 + 7, ten diamonds
8.AQ2.AKJ52.J982 AKQ97.T3.3.Q6543 42.K64.QT964.KT7  game 5D 10 settled       | 15 + 9, ten diamonds
83.A52.AQJ52.J92 AKQ72.J3.83.K863 J4.KQ9764.64.T75  part_score_fit 3H 9      | six hearts
83.A52.AQJ52.J92 AKQ72.J3.83.K863 J4.KQ764.64.QT75  part_score_fit 3H 8 settled | second X: 9, two spades
83.A52.AQJ52.J92 AKQ72.J3.83.K863 T4.KQ764.64.QT75  their_contract 2S 4      | 8
83.A52.AQJ52.J92 AKQ72.J3.83.K863 4.KQ9764.K974.75  part_score_fit 3H 9      | six hearts before four diamonds
83.A52.AQJ52.J92 AKQ72.J3.83.K863 J4.KQ64.K974.T75  part_score_fit 3D 9      | four diamonds, 9
83.A52.AQJ52.J92 AKQ72.J3.83.K863 J4.KT64.KT74.T75  their_contract 2S 4      | 7
83.A52.AQJ52.J92 AKQ72.J3.83.K863 J4.KT64.KT74.Q75  part_score_fit 3D 9      | 9
83.A52.AQJ52.J92 AKQ72.J3.83.K863 J4.QT64.KT97.QT5  part_score_fit 3D 9      | 8
83.A52.AQJ52.J92 AKQ72.J3.83.K863 J4.QT64.KT974.75  part_score_fit 3D 10     | five
83.A52.AQJ52.J92 AKQ72.J3.83.K863 J4.KQ64.K97.QT75  part_score_fit 3D 8 settled | 11, two spades
83.A52.AQJ52.J92 AKQ72.J3.83.K863 T54.KQ6.K97.QT75  their_contract 2S 5      | 10, three spades
83.A52.AQJ52.J92 AKQ72.J3.83.K863 JT4.KQ6.K97.QT75  part_score_fit 3D 8 settled | 11, three spades
QT84.A5.AQT52.Q2 AKJ72.J3.83.K863 65.KQ64.K97.J975  defended 2S 6            | opener holds four spades
83.A52.AQJ52.J92 AKQ72.J3.83.K863 T4.KQ64.K97.QT75  part_score_fit 3D 8 settled | 10, two spades
""",
    "1C 1D raise 2D": """
K2.KQ52.83.AJ942 A3.J3.AKJ762.T65 QJT6.AT96.54.KQ7  game 4H 8           | 3D over 2H, responder 13
K2.KQ52.83.AJ942 A3.J3.AKJ762.T65 QT86.AT96.54.KQ7  their_contract 3D 4 | responder 12
""",
    "1H 1S raise 2S": """
83.AK752.KJ52.92 AKQJ97.T3.T.8653 T42.64.AQ64.AKJT  game 5D 8           | 3S over 3D, responder 15 in a minor
83.AK752.KJ52.92 AKQJ97.T3.T.8653 T42.64.AQ64.AQJT  their_contract 3S 5 | responder 14
83.AK752.KJ52.92 AQJ97.QT3.T.8653 K42.64.AQ64.KJT7  part_score_fit 3D 8 | 14 over three of a minor
83.AK752.KJ52.92 AQJ97.QT3.T.8653 K42.64.AQ64.AJT7  game 5D 8           | 15
83.AKJ52.A85.942 AKQ72.T983.T9.J7 4.6.KQ7643.KQT85  part_score_fit 3D 9 | six diamonds
83.AKJ52.A85.942 AKQ72.T983.T9.J7 4..KQ7643.KQT853  part_score_fit 3D 9 | six of each: the higher
83.AKJ52.A85.942 AKQ72.T983.T9.J7 64.6.KQ76.KQT853  part_score_fit 3C 9 | six clubs
""",
    "1D 1S notrump 1NT": """
83.KQ52.AK853.Q4 AKJ97.T3.T92.962 T42.AJ64.764.K75  part_score_fit 3H 8       | 8 over a jump
83.KQ52.AK853.Q4 AKJ97.T3.T92.962 T42.AJ64.J64.K75  game 4H 8                 | 9 over a jump
83.KQ52.AKQ53.K4 AKJ97.T3.T92.962 T42.AJ64.J64.T75  game 4H 8                 | game at once
83.KQ52.AK853.J4 AKJ97.T3.T92.962 T42.AJ64.Q64.K75  part_score_fit 2H 8       | 10
83.KQ52.AK853.J4 AKJ97.T3.T92.962 T42.AJ64.QJ4.K75  game 4H 8                 | 11 invites, 15 accepts
83.KQ52.AQ853.T4 AKJ97.T3.T92.962 T42.AJ64.K64.K75  part_score_fit 3H 8       | 11 invites, 13 declines
83.KQ52.AQ853.T4 AKJ97.T3.T92.962 T42.AJ64.KJ4.K75  part_score_fit 3H 8       | 12 invites, 13 declines
83.KQ52.AQ853.T4 AKJ97.T3.T92.962 T42.AJ64.KJ4.A75  game 4H 8                 | 13 bids game
83.2.AKJ52.KJ952 AKQ97.T873.T9.63 T42.KQJ4.Q643.Q7  part_score_no_fit 2C 7    | 10; no correction
83.2.AKJ52.KJ952 AKQ97.T873.T9.63 J42.KQJ4.Q643.Q7  part_score_no_fit 2C 7    | 11
83.2.AKJ52.KJ952 AKQ97.T873.T9.63 T42.KQJ4.Q643.A7  game 5D 9 settled         | 12
AQJ5.A52.KQJ52.2 KT972.T3.93.AT96 83.KQJ4.764.Q753  three_notrump 3NT - settled | opener's double of notrump
83.A52.AQJ52.J92 AKQ97.T3.T93.T64 642.KJ94.K84.KQ7  defended 1NT -            | a second double of notrump: 12
83.A52.AQJ52.J92 AKQ97.T3.T93.T64 642.KJ94.K84.K87  their_contract 1NT -      | 10
83.A52.AQJ52.J92 AKQ97.T3.T93.T64 J42.KJ94.K84.K87  defended 1NT -            | 11
""",
    "1H 1S notrump 1NT": """
83.AK752.KJ52.92 AQJ97.QT3.T.8653 K42.J4.AQ64.QJT7  part_score_fit 3D 8 | 14 in a minor invites, 13 declines
83.AK752.KJ52.92 AQJ97.QT3.T.8653 K42.64.AQ64.QJT7  part_score_fit 2D 8 | 13 in a minor
83.AK752.KJ52.92 AQJ97.QT3.T.8653 K42.64.AQ64.AQT7  game 5D 8           | 16 in a minor
83.AK752.KQ52.Q4 AQJ97.QT3.T.8653 K42.64.AJ64.JT72  part_score_fit 3D 8 | 10 over a jump in a minor
83.AK752.KQ52.Q4 AQJ97.QT3.T.8653 K42.64.AJ64.KT72  game 5D 8           | 12 over a jump in a minor
""",
    "1H 1S preemptive_raise 3S": """
83.AK752.KQ52.K2 AQJ97.QT3.T.8653 K42.64.AJ64.AJT7  part_score_fit 4D 8 | 14 over four of a minor
83.AK752.KQ52.K2 AQJ97.QT3.T.8653 K42.64.AJ64.AQT7  game 5D 8           | 15
83.AQJ8532.A2.J2 AKQJ7.T.JT9.T965 42.K4.KQ64.Q8743  game 4H 9           | seven hearts at game
""",
    "1D 1S preemptive_raise 3S": """
83.KQ52.AK853.Q4 AKJ97.T3.T92.962 T42.AJ64.764.K75  game 4H 8                 | a bid at game ends the auction
KJ3.AQ2.KQ52.K92 AQT97.T3.AT8.J63 42.KJ64.964.QT85  three_notrump 3NT -       | 3NT ends the auction
83.A52.AQJ52.J92 AKQ72.J3.83.K863 4.KQ9764.974.T75  their_contract 3S 3       | no room at level 3
83.A52.AQJ52.J92 AKQ72.J3.83.K863 J4.KQ64.K974.T75  their_contract 3S 4       | no room at level 3
83.A52.AQJ52.J92 AKQ72.J3.83.K863 4.KQ64.K974.QT75  part_score_fit 4D 9 settled | 10, nine diamonds
83.A52.AQJ52.J92 AKQ72.J3.83.K863 4.KQ64.K97.QT754  defended 3S 3 settled     | eight are too few
""",
    "1D 1S new_suit 2C": """
83.A2.AQJ852.J92 AKQJ7.J73.T93.76 T42.KQ64.K4.Q854  part_score_fit 2D 8        | 10 over level 2
83.A2.AQJ852.J92 AKQJ7.J73.T93.76 T42.KQ64.K4.KT85  part_score_fit 2D 8        | 11
83.A2.AQJ852.J92 AKQJ7.J73.T93.76 T42.KQ64.K4.AT85  game 5D 8 settled          | 12
83.A2.AQJ852.J92 AQJ97.973.T93.K6 K42.KQJ4.K4.T875  game 5D 8 settled | 12, clubs not stopped
83.A2.AQJ852.J92 AQJ97.973.T93.K6 K42.KQJ4.K4.Q875  three_notrump 3NT - settled | both suits stopped
83.A2.AQJ852.J92 AKQJ7.J73.T93.76 T9642.KQ64.K4.Q5  part_score_fit 2D 8        | 10 without Z's length
83.A52.AQJ52.J92 AKQJ2.J973.83.K8 T9654.KQ64.K9.Q7  part_score_no_fit 2H 7 settled | 10: hearts first
83.A52.AQJ52.J92 AKQJ2.J973.83.K8 T9654.KQ64.9.QT7  their_contract 2C 6        | 7: length in Z does not count
""",
    "1C 1S raise 2S": """
A3.K52.KJ2.AT942 KQJ72.A3.843.KJ6 84.QJ64.96.Q8753  part_score_fit 3C 10 settled | opener's double: 15
A3.K52.QJ2.AT942 KQJ72.A3.843.KJ6 84.Q964.K6.Q8753  part_score_fit 3C 10         | five clubs, 8
A3.K52.QJ2.AT942 KQJ72.A3.843.KJ6 84.J964.K6.Q8753  their_contract 2S 4          | 7
A3.K52.QJ52.AT94 KQJ72.A3.843.KJ6 84.QJ64.6.Q87532  part_score_fit 3C 10         | six clubs, 7
""",
    "1D 1S preemptive_raise 4S": """
83.A52.AQJ52.J92 AKQ72.T3.83.K863 J4.KQJ4.K97.QT75  defended 4S 4 settled | 12 over 4S: 12 + 12
83.A52.AQJ52.J92 AKQ72.T3.83.K863 T4.KQJ4.K97.QT75  their_contract 4S 4   | 11
83.A52.AQJ52.J92 AKQ72.T3.83.K863 4.KQ64.K97.QT754  defended 4S 3 settled | 10 with one spade
83.A52.AQJ52.J92 AKQ72.T3.83.K863 4.KJ64.K97.QT754  their_contract 4S 3   | 9
83.A52.AQJ52.J92 AKQ72.T3.83.K863 J4.KQJ4.K97.AT75  game 5D 8 settled     | 14: 12 + 14
83.A52.AQJ52.J92 AKQ72.T3.83.K863 T4.KQJ4.K97.AT75  game 5D 8 settled     | 12 + 13
83.A52.AQJ52.J92 AKQ72.T3.83.K863 J4.KQJ64.K97.QT7  game 5D 8 settled     | 12 HCP and a fifth heart
""",
    "1C 1D preemptive_raise 4D": """
K52.AJ2.83.KJ942 T3.9853.AKQ72.Q6 AQ64.KQ64.95.T75  defended 4D 4 settled | 11 below 4H: 12 + 11
K52.AJ2.J84.KJ94 T3.9853.AKQ72.Q6 AQ64.KQ64.95.T75  defended 4D 5         | three diamonds, no major
K852.AJ2.J84.KJ9 T3.9853.AKQ72.Q6 AQ64.KQ64.95.T75  defended 4D 5 settled | a major of four
K52.AJ2.83.KJ942 T3.9853.AKQ72.A6 AQ64.QT64.J5.T75  their_contract 4D 4   | 9
K52.AJ2.83.KJ942 T3.9853.AKT72.A6 AQ64.QT64.Q5.T75  their_contract 4D 4   | 10 below 4H, two diamonds
K52.AJ2.83.KJ942 T3.9853.AKT72.A6 AQ64.QT64.5.QT75  defended 4D 3 settled | 10, one diamond
K52.AJ2.83.KJ942 T3.9853.AKT72.A6 AJ64.QT764.5.QT5  defended 4D 3 settled | 9 HCP, fifth heart
K52.AJ2.83.KJ942 T3.9853.AKT72.A6 AJ64.QT64.5.QT75  their_contract 4D 3   | 9
""",
    "1D 1H preemptive_raise 4H": """
A52.83.AQJ52.J92 83.AKQ72.T3.K863 KQ64.T4.K97.QT75  their_contract 4H 4 | 10 over 4H
A52.83.AQJ52.J92 83.AKQ72.T3.K863 KQ64.J4.K97.QT75  their_contract 4H 4 | 11
""",
}

# opener's hand, opening, overcall: reopening by name, call as made
REOPENINGS = """
KJ3.AQ2.KQ52.K92  1D 1S  notrump 1NT    | three spades: 18 with a stopper
KJ3.AQ2.KQ52.K92  1D 3S  notrump 3NT    | level 3
AQ2.AKQ52.K83.Q9  1H 4S  double X       | 20 at level 4
KJ3.AQ2.KQ52.Q92  1D 1S  double X       | 17
KJ3.AQ2.KQ52.J92  1D 1S  pass pass      | 16
J83.AQ2.KQ52.AK2  1D 1S  double X       | 19 without a stopper
KJ3.AQ92.AKQ52.2  1D 1S  double X       | 19 with a singleton
KJ3.AQ92.AKQJ52.  1D 1S  double X       | 20 with a void
K83.A2.AQJ852.92  1D 1S  own_suit 2D    | three spades and six diamonds, 14
K83.A2.AQJ52.J92  1D 1S  pass pass      | five diamonds, 15
A2.AQJ852.83.K83  1H 2C  own_suit 2H    | three clubs and six hearts
K83.A2.AQJ852.92  1D 2S  pass pass      | three spades, no room at level 2
83.2.AKJ52.KJ952  1D 1S  second_suit 2C | five clubs
92.KQ842.AKJ52.2  1D 1S  second_suit 2H | five hearts
83.A2.AKJ52.KJ95  1D 1S  double X       | four clubs
83.2.AKJ852.KJ95  1D 1S  own_suit 2D    | four clubs and six diamonds
83..AKJ852.KJ952  1D 1S  second_suit 2C | five clubs before six diamonds
2.AKJ52.82.KJ952  1H 2D  pass pass      | five clubs at level 3 with 12; one spade
2.AKJ52.K2.KJ952  1H 2D  pass pass      | 15
2.AKJ52.A2.KJ952  1H 2D  double X       | 16: one spade does not matter
8.32.AKJ52.AKJ52  1D 2S  double X       | 16 with five clubs: the double first
.432.AKJ52.AKJ52  1D 2S  second_suit 3C | void in spades, 16: five clubs at level 3
.432.AKJ52.AQJ52  1D 2S  double X       | 15: no suit to bid
8.32.AKJ52.AQJ52  1D 2S  double X       | 15
2.AKJ52.32.AKQ52  1H 3S  double X       | level 4
83.A2.AQJ852.KJ2  1D 1S  double X       | six diamonds, two cards in each unbid suit
83.2.AKJ852.AK92  1D 1S  own_suit 2D    | one heart: 15
83.2.AKQ852.AK92  1D 1S  double X       | 16
83.A2.AQJ8532.K2  1D 1S  own_suit 2D    | seven diamonds
83.K2.AKQJ852.Q2  1D 1S  own_suit 2D    | seven with 15
83.K2.AKQJ852.K2  1D 1S  double X       | 16
.A42.AKJ52.KJ952  1D 1S  second_suit 2C | void in spades and five clubs
.A942.AKJ52.KJ95  1D 1S  double X       | void in spades, no suit of five
83.A2.AQJ852.KQ2  1D 1S  double X       | 16
83.A2.AQJ852.K92  1D 2S  double X       | six diamonds are not bid at level 3
83.A2.AQJ8532.K2  1D 2S  own_suit 3D    | seven are
83.A2.AQJ8532.K2  1D 3S  pass pass      | not at level 4; 14 with two spades
83.A52.AQJ52.J92  1D 1S  double X       | 12
83.2.AQJ852.KJ92  1D 2S  pass pass      | one heart, 11
A3.2.AKJ852.QJ92  1D 2S  pass pass      | one heart, 15
A3.2.AKJ852.KJ92  1D 2S  double X       | one heart, 16
83.A5.AQJ852.J92  1D 2S  double X       | two hearts, 12
8.A52.AQJ52.J982  1D 3S  double X       | one spade, 12 at level 3
83.A52.AQJ52.J92  1D 3S  pass pass      | two spades, 12 at level 3
83.AQ2.AQJ52.J92  1D 3S  pass pass      | 14
83.AK2.AQJ52.J92  1D 3S  double X       | 15
"""

# opener's and advancer's hand, opening, overcall, after a penalty pass: reopening as counted
TAKEN_OUT = """
83.A52.AQJ52.J92 .KT874.9764.KT85  1D 1S  double_taken_out | the advancer is void in spades
83.A52.AQJ52.J92 7.KT874.964.KT85  1D 1S  double           | one spade
83.2.AQJ852.KJ92 .KT874.9764.T865  1D 2S  pass             | the opener did not double
"""
