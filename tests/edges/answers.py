"""Edge cases of the opener's answer and of the rest, each worked out by hand; see edges."""

# hand, opening, overcall: answer by name, answer as made
ANSWERS = """
KQ952.8.AK8532.9   1D 1S  penalty_pass pass   | five good spades
K9752.8.AKQ532.9   1D 1S  own_suit 2D         | five spades not good
83.KQ52.AK853.J2   1D 1S  raise_minimum 2H    | 13 HCP and two doubletons: 15
83.KQ52.AK853.Q2   1D 1S  raise_jump 3H       | 16
83.KQ52.AKQ53.Q2   1D 1S  raise_jump 3H       | 18
83.KQ52.AKQ53.K2   1D 1S  raise_game 4H       | 19
8.AQ52.AKQ53.K92   1D 1S  raise_game 4H       | 18 HCP and a singleton: 20
83.KQ52.AK853.J2   1D 2S  raise_minimum 3H    | 15
83.KQ52.AK853.Q2   1D 2S  raise_jump 4H       | 16
83.KQ52.AK853.J2   1D 3S  raise_minimum 4H    | the name goes by the strength
83.KQ52.AK853.Q2   1D 3S  raise_jump 4H       | a jump not beyond game
83.KQ52.AKQ53.K2   1D 3S  raise_game 4H       | 19
KQ52.AJ64.8.K952   1C 1D  raise_minimum 1S    | 15, four in each: spades
KQ52.AQ64.8.K952   1C 1D  raise_jump 2S       | 16
KQ5.AJ64.82.K952   1C 1D  raise_minimum 1H    | four hearts, three spades
8.AJ642.8.KQ9532   1C 1D  raise_minimum 1H    | 10 HCP and two singletons: 14
KQ52.AQ6.8.AKJ95   1C 1D  raise_game 4S       | 21
KQ52.83.A64.K952   1C 1H  raise_minimum 1S    | 13, four spades
KQ52.8.AK64.K952   1D 1H  raise_jump 2S       | 17
83.AK752.Q3.KJ52   1H 1S  raise_minimum 2C    | 15
83.AK752.K3.KJ52   1H 1S  raise_jump 3C       | 16
8.AKQ52.A32.KQ52   1H 1S  raise_jump 3C       | 20: no leap to game in a minor
.AK752.KJ52.Q852   1H 1S  raise_jump 3D       | 13 HCP and a void; four in each: diamonds
8.AK752.J952.A82   1H 1S  raise_minimum 2D    | 14
83.AK752.Q3.KJ52   1H 3S  raise_minimum 4C    | 15 over 3S
83.AK752.K3.KJ52   1H 3S  raise_jump 5C       | 16: one higher is game
8.AK2.AKJ52.K952   1D 1S  cue_bid 2S          | 18, no stopper
8.AK2.AKJ52.Q952   1D 1S  second_suit 2C      | 17
A3.K2.AKQJ52.J92   1D 1S  own_suit 3D         | 18, a stopper, room to jump
A3.K2.AKQJ52.J92   1D 2S  cue_bid 3S          | 18, a stopper, no room
A3.K2.AKQJ52.T92   1D 2S  own_suit 3D         | 17, no room: at its cheapest
82.AKQJ52.K3.AJ9   1H 3D  own_suit 4H         | 18: a major may jump to four
8.AKQ752.32.KJ52   1H 1S  own_suit 2H         | six hearts before four clubs
3.KQ52.AKJ853.J2   1D 1S  raise_jump 3H       | four hearts before six diamonds, 17
83.A2.AQJ8532.J2   1D 1S  own_suit 2D         | seven with 12
83.A2.AQJ8532.Q2   1D 1S  own_suit 3D         | seven with 13 jump
83.A2.AQJ853.QT2   1D 1S  own_suit 2D         | six with 13 do not
83.A2.AQJ8532.Q2   1D 2S  own_suit 3D         | seven with 13, no room
83.AQJ8532.A2.J2   1H 2S  own_suit 3H         | seven of a major with 12
83.AQJ8532.A2.Q2   1H 2S  own_suit 4H         | 13
83.AQJ8732.52.Q2   1H 1S  own_suit 2H         | seven with 9
83.AQJ87532.2.Q2   1H 1S  own_suit 4H         | eight of a major: game
8.AQJ87532..KJ52   1H 1S  own_suit 4H         | eight hearts before four clubs
83.AQJ87532.2.Q2   1H 4S  own_suit 5H         | eight, game left behind: the cheapest level
8.A2.AQJ87532.J2   1D 1S  own_suit 2D         | eight of a minor with 12
8.AKQJ8753.AK.J2   1H 1S  cue_bid 2S          | 18, no stopper: before eight hearts
A3.AKQJ52.K32.J2   1H 3S  cue_bid 4S          | 18, no room
A3.AKQJ52.K32.92   1H 3S  own_suit 4H         | 17
K3.A2.AQJ852.J92   1D 1S  own_suit 2D         | 15
K3.A2.AQJ852.Q92   1D 1S  own_suit 3D         | 16
83.2.AKJ52.KJ952   1D 1S  second_suit 2C      | five clubs
82.AK752.8.KJ952   1H 2D  second_suit 3C      | five clubs, higher than 2H, 11 HCP
82.AK752.KJ952.8   1H 2C  second_suit 2D      | five diamonds
K82.AK752.8.KJ95   1H 2D  three_card_raise 2S | four clubs, higher than 2H, 14 HCP
KJ3.A82.KQ52.J92   1D 1S  notrump 1NT         | 14
KJ32.A2.AKQ52.92   1D 1S  notrump 1NT         | 17
KJ3.AQ2.KQ52.K92   1D 1S  notrump 2NT         | 18
KJ3.AQ2.KQ52.K92   1D 2S  notrump 3NT         | 18, one higher is 3NT
KJ3.AQ2.KQ52.K92   1D 3S  notrump 3NT         | 18, not beyond 3NT
KJ3.A82.KQ52.J92   1D 3S  notrump 3NT         | 14, the cheapest level
Q83.A82.KQ52.Q92   1D 1S  notrump 1NT         | Qxx stops
Q3.A82.KQ852.Q92   1D 1S  three_card_raise 2H | Qx does not
A.K82.KQ852.Q982   1D 1S  notrump 1NT         | the ace alone stops; before four clubs
K.A82.KQ852.Q982   1D 1S  second_suit 2C      | the king alone does not
83.A2.AQ852.K952   1D 1S  second_suit 2C      | four clubs, lower than 2D
83.A2.KQ92.AQT52   1C 1S  rebid 2C            | four diamonds, higher than 2C, 15
83.A2.KQ92.AQJ52   1C 1S  second_suit 2D      | 16
KQ5.A64.82.KJ852   1C 1D  three_card_raise 1S | three in each: spades
K5.A64.832.KQJ52   1C 1D  three_card_raise 1H | three hearts alone
KQ5.82.A64.K9852   1C 1H  three_card_raise 1S | three spades
83.AK752.Q83.K92   1H 1S  three_card_raise 2C | three in each minor: clubs
832.AK752.Q83.K9   1H 1S  three_card_raise 2D | three diamonds alone
9832.AK752.Q8.K9   1H 1S  rebid 2H            | three in neither
832.A2.K93.AQ852   1C 1S  rebid 2C            | nothing else
"""

# opener's hand after a minor, 1H and 1S: raise
SPADE_RAISES = """
KQ5.82.A64.K9852   2S  | 13
KQ5.82.AQ4.KT852   2S  | 15
KQ5.8.AQ42.KT852   3S  | 16
KQ5.8.AQ42.KQ852   3S  | 18
KQ5.8.AQ42.AQ852   4S  | 19
KQ52.82.A64.K952   2S  | four spades
K5.82.AQ42.KJ852   -   | two spades
"""

# opener's hand, responder's hand, opening, overcall: rest, last bid, trumps
RESTS = """
KQ952.8.AK8532.9 83.AJ62.64.QT532   1D 1S  defended 1S 7           | the penalty pass
83.KQ52.AK853.92 K52.AJ64.Q64.T75   1D 1S  part_score_fit 2H 8     | 10
83.KQ52.AK853.92 K52.AJ64.Q64.JT5   1D 1S  game 4H 8               | 11 invites, 14 accepts
83.KQ52.AQ853.92 K52.AJ64.K64.T75   1D 1S  part_score_fit 3H 8     | 11 invites, 13 declines
83.KQ52.AQ853.92 K52.AJ64.K64.JT5   1D 1S  part_score_fit 3H 8     | 12 invites, 13 declines
83.KQ52.AQ853.92 K52.AJ64.K64.QT5   1D 1S  game 4H 8               | 13 bids game
83.KQ52.AK853.92 K52.AJ64.Q64.JT5   1D 2S  part_score_fit 3H 8     | no room to invite, 11
83.KQ52.AK853.92 K52.AJ64.Q64.QT5   1D 2S  game 4H 8               | no room to invite, 12
83.KQ52.AK853.Q4 K52.AJ64.764.T75   1D 1S  part_score_fit 3H 8     | 8 over a jump
83.KQ52.AK853.Q4 K52.AJ64.J64.T75   1D 1S  game 4H 8               | 9 over a jump
83.KQ52.AKQ53.K2 K52.AJ64.764.T75   1D 1S  game 4H 8               | game at once
83.KQ52.AK853.92 K52.AJ64.Q64.QT5   1D 3S  game 4H 8               | a minimum at game rests
83.AK752.93.KJ52 QJ2.64.AK54.QT63   1H 1S  part_score_fit 2C 8     | 13 in a minor
83.AK752.Q3.KJ52 AT2.64.AK54.QT63   1H 1S  game 5C 8               | 14 invites, 15 accepts
83.AK752.93.KJ52 AJ2.64.AK54.QT63   1H 1S  part_score_fit 3C 8     | 15 invites, 13 declines
83.AK752.93.KJ52 AQ2.64.AK54.QT63   1H 1S  game 5C 8               | 16 bids game
83.AK752.Q3.KJ52 AT2.64.AK54.QT63   1H 3S  part_score_fit 4C 8     | no room to invite, 14
83.AK752.Q3.KJ52 AJ2.64.AK54.QT63   1H 3S  game 5C 8               | no room to invite, 15
83.AK752.K3.KJ52 AJ2.64.QJ54.Q763   1H 1S  part_score_fit 3C 8     | 11 over a jump
83.AK752.K3.KJ52 AJ2.64.AT54.Q763   1H 1S  game 5C 8               | 12 over a jump
8.AK2.AKJ52.K952 K52.QJ64.64.QT73   1D 1S  goes_on - -             | the cue-bid
A3.AKQJ52.K32.J2 K52.64.AQ54.KT73   1H 3S  goes_on - -             | a cue-bid at game goes on too
KJ3.A82.KQ52.J92 42.KQ64.AJ4.T853   1D 1S  notrump_part_score 1NT - | 10
KJ3.A82.KQ52.J92 42.KQ64.A64.QT85   1D 1S  three_notrump 3NT -     | 11 invites, 14 accepts
KJ3.A82.KQ52.T92 42.KQ64.A64.Q853   1D 1S  notrump_part_score 2NT - | 11 invites, 13 declines
KJ3.A82.KQ52.T92 42.KQ64.A64.KJ85   1D 1S  three_notrump 3NT -     | 13 HCP bid game
KJ3.A82.KQ52.T92 42.KQ64.A64.QJ85   1D 1S  three_notrump 3NT -     | 12 HCP bid game
KJ3.A82.KQ52.J92 42.KQ64.AJ4.T853   1D 2S  notrump_part_score 2NT - | 10 over 2NT
KJ3.A82.KQ52.J92 42.KQ64.A64.QT85   1D 2S  three_notrump 3NT -     | 11 over 2NT
KJ3.AQ2.KQ52.K92 42.KJ64.964.QT85   1D 1S  notrump_part_score 2NT - | 6 over a jump
KJ3.AQ2.KQ52.K92 42.KJ64.J64.QT85   1D 1S  three_notrump 3NT -     | 7 over a jump
KJ3.AQ2.KQ52.K92 42.KJ64.AJ4.T853   1D 2S  three_notrump 3NT -     | 3NT rests
KJ3.A82.KQ52.J92 42.KQ9764.64.T85   1D 1S  part_score_fit 2H 9     | six hearts over 1NT
KJ3.A82.KQ52.J92 42.KQ9764.64.AT5   1D 2S  notrump_part_score 2NT - | 9: hearts would be 3H
83.A2.AQJ852.K92 42.KQ9764.64.T85   1D 1S  part_score_fit 2H 8     | six hearts over 2D
83.A2.AQJ852.K92 42.KQ9764.64.QT5   1D 2S  part_score_fit 3D 8     | six hearts, no room
83.A2.AQ853.K952 T42.KQ9764.J64.T   1D 1S  part_score_fit 2H 8     | hearts before the preference
83.A2.AQ853.K952 T42.KJ764.J64.QT   1D 1S  part_score_fit 2D 8     | five hearts are not bid
83.A2.AQ853.K952 T42.KJ64.J642.Q7   1D 1S  part_score_fit 2D 9     | more diamonds than clubs
83.A2.AQ853.K952 T42.KJ64.J64.QT7   1D 1S  part_score_fit 2D 8     | as many diamonds as clubs
83.A2.AQ853.K952 T42.KJ64.J6.QT74   1D 1S  part_score_fit 2C 8     | fewer diamonds than clubs
83.A2.AQ853.K952 KT4.KJ64.J64.QT7   1D 1S  part_score_fit 2D 8     | 10 over a lower second suit
83.A2.AQ853.K952 AT4.KJ64.J64.QT7   1D 1S  goes_on - -             | 11
83.A2.AQ853.K952 K9764.KJ64.J6.Q7   1D 1S  part_score_no_fit 2D 7  | 10: length in Z does not count
83.A2.KQ92.AQJ52 T42.KJ64.84.K876   1C 1S  part_score_no_fit 2D 6  | 7: no preference
83.A2.KQ92.AQJ52 T42.KQ64.864.K87   1C 1S  goes_on - -             | 8 over a higher second suit
K3.A2.AQJ852.Q92 T42.KJ64.64.KT85   1D 1S  part_score_fit 3D 8     | 7 over a jump
K3.A2.AQJ852.Q92 T42.KQ64.64.KT85   1D 1S  goes_on - -             | 8 over a jump
K3.A2.AQJ852.J92 T42.KQ64.64.KT85   1D 1S  part_score_fit 2D 8     | 8 over a minimum
82.AKQJ52.K3.AJ9 KJ64.T3.A64.QT75   1H 3D  game 4H 8               | a jump to game rests
832.A2.K93.AQ852 K64.KJ64.QJT4.63   1C 1S  part_score_no_fit 2C 7  | 10 over the rebid
832.A2.K93.AQ852 K64.KJ64.AT84.63   1C 1S  goes_on - -             | 11
Q3.A82.KQ852.Q92 952.KQ64.J64.AT5   1D 1S  part_score_no_fit 2H 7  | 10 over a three-card raise
Q3.A82.KQ852.Q92 T52.KJ764.J6.K75   1D 1S  part_score_fit 2H 8     | 9 support points, five hearts
Q3.A82.KQ852.Q92 K52.KJ64.A64.T75   1D 1S  goes_on - -             | 11 would invite
Q3.A82.KQ852.Q92 K52.KJ64.A64.T75   1D 2S  part_score_no_fit 3H 7  | 11 has no room to invite
Q3.A82.KQ852.Q92 K52.KJ64.AJ4.T75   1D 2S  goes_on - -             | 12 would bid game
Q3.A82.KQ852.Q92 K52.KJ64.AJ4.T75   1D 3S  game 4H 7               | a three-card raise at game
83.AK752.Q83.K92 K64.Q4.AJ54.QT63   1H 1S  part_score_no_fit 2C 7  | 13 over a three-card raise of a minor
83.AK752.Q83.K92 KQ4.64.AJ54.QJ63   1H 1S  goes_on - -             | 14 would invite
83.A2.AQJ8532.Q2 T42.KJ64.64.KT85   1D 1S  part_score_fit 3D 9     | 7 over a jump with seven
83.A2.AQJ8532.Q2 T42.KQ64.64.KT85   1D 1S  goes_on - -             | 8
83.AQJ87532.2.Q2 KJ4.4.AJ54.JT763   1H 1S  game 4H 9               | eight hearts: game rests
"""
