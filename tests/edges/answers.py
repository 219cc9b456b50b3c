"""Edge cases of the opener's answer and of the rest, each computed by hand; see edges."""

# hand, opening, overcall: answer by name, answer as made
ANSWERS = """
KQ952.8.AK8532.9  1D 1S  penalty_pass pass   | five good spades
K9752.8.AKQ532.9  1D 1S  own_suit 2D         | five spades not good
83.KQ52.AK853.J2  1D 1S  raise_minimum 2H    | 13 HCP and two doubletons: 15
83.KQ52.AK853.Q2  1D 1S  raise_jump 3H       | 16
83.KQ52.AKQ53.Q2  1D 1S  raise_jump 3H       | 18
83.KQ52.AKQ53.K2  1D 1S  raise_game 4H       | 19
8.AQ52.AKQ53.K92  1D 1S  raise_game 4H       | 18 HCP and a singleton: 20
83.KQ52.AK853.J2  1D 2S  raise_minimum 3H    | 15
83.KQ52.AK853.Q2  1D 2S  raise_jump 4H       | 16
83.KQ52.AK853.J2  1D 3S  raise_minimum 4H    | the name goes by the strength
83.KQ52.AK853.Q2  1D 3S  raise_jump 4H       | a jump not beyond game
83.KQ52.AKQ53.K2  1D 3S  raise_game 4H       | 19
KQ52.AJ64.8.K952  1C 1D  raise_minimum 1S    | 15, four in each: spades
KQ52.AQ64.8.K952  1C 1D  raise_jump 2S       | 16
KQ5.AJ64.82.K952  1C 1D  raise_minimum 1H    | four hearts, three spades
8.AJ642.8.KQ9532  1C 1D  raise_minimum 1H    | 10 HCP and two singletons: 14
KQ52.AQ6.8.AKJ95  1C 1D  raise_game 4S       | 21
KQ52.83.A64.K952  1C 1H  raise_minimum 1S    | 13, four spades
KQ52.8.AK64.K952  1D 1H  raise_jump 2S       | 17
83.AK752.Q3.KJ52  1H 1S  raise_minimum 2C    | 15
83.AK752.K3.KJ52  1H 1S  raise_jump 3C       | 16
8.AKQ52.A32.KQ52  1H 1S  raise_jump 3C       | 20: no leap to game in a minor
.AK752.KJ52.Q852  1H 1S  raise_jump 3D       | 13 HCP and a void; four in each: diamonds
8.AK752.J952.A82  1H 1S  raise_minimum 2D    | 14
83.AK752.Q3.KJ52  1H 3S  raise_minimum 4C    | 15 over 3S
83.AK752.K3.KJ52  1H 3S  raise_jump 5C       | 16: one higher is game
8.AK2.AKJ52.K952  1D 1S  cue_bid 2S          | 18, no stopper
8.AK2.AKJ52.Q952  1D 1S  second_suit 2C      | 17
A3.K2.AKQJ52.J92  1D 1S  own_suit 3D         | 18, a stopper, room to jump
A3.K2.AKQJ52.J92  1D 2S  cue_bid 3S          | 18, a stopper, no room
A3.K2.AKQJ52.T92  1D 2S  own_suit 3D         | 17, no room: at its cheapest
A3.K2.AKQJ52.J92  1D 3S  cue_bid 4S          | 18, no room, 4D is below game
A3.K2.AKQJ52.T92  1D 3S  own_suit 4D         | 17
82.AKQJ52.K3.AJ9  1H 3D  own_suit 4H         | 18: a major may jump to four
8.AKQ752.32.KJ52  1H 1S  own_suit 2H         | six hearts before four clubs
3.KQ52.AKJ853.J2  1D 1S  raise_jump 3H       | four hearts before six diamonds, 17
83.A2.AQJ8532.J2  1D 1S  own_suit 2D         | seven with 12
83.A2.AQJ8532.Q2  1D 1S  own_suit 3D         | seven with 13 jump
83.A2.AQJ853.QT2  1D 1S  own_suit 2D         | six with 13 do not
83.A2.AQJ8532.Q2  1D 2S  own_suit 3D         | seven with 13, no room
83.AQJ8532.A2.J2  1H 2S  own_suit 3H         | seven of a major with 12
83.AQJ8532.A2.Q2  1H 2S  own_suit 4H         | 13
83.AQJ8732.52.Q2  1H 1S  own_suit 2H         | seven with 9
83.AQJ87532.2.Q2  1H 1S  own_suit 4H         | eight of a major: game
8.AQJ87532..KJ52  1H 1S  own_suit 4H         | eight hearts before four clubs
83.AQJ87532.2.Q2  1H 4S  own_suit 5H         | eight, game left behind: the cheapest level
8.A2.AQJ87532.J2  1D 1S  own_suit 2D         | eight of a minor with 12
8.AKQJ8753.AK.J2  1H 1S  cue_bid 2S          | 18, no stopper: before eight hearts
A3.AKQJ52.K32.J2  1H 3S  own_suit 4H         | 18, no room, but the cheapest rebid is game
A3.AKQJ52.K32.92  1H 3S  own_suit 4H         | 17
K3.A2.AQJ852.J92  1D 1S  own_suit 2D         | 15
K3.A2.AQJ852.Q92  1D 1S  own_suit 3D         | 16
83.2.AKJ52.KJ952  1D 1S  second_suit 2C      | five clubs
82.AK752.8.KJ952  1H 2D  second_suit 3C      | five clubs, higher than 2H, 11 HCP
82.AK752.KJ952.8  1H 2C  second_suit 2D      | five diamonds
K82.AK752.8.KJ95  1H 2D  rebid 2H            | four clubs, higher than 2H; three spades, dearer than 2H
KJ3.A82.KQ52.J92  1D 1S  notrump 1NT         | 14
KJ32.A2.AKQ52.92  1D 1S  notrump 1NT         | 17
KJ3.AQ2.KQ52.K92  1D 1S  notrump 2NT         | 18
KJ3.AQ2.KQ52.K92  1D 2S  notrump 3NT         | 18, one higher is 3NT
KJ3.AQ2.KQ52.K92  1D 3S  notrump 3NT         | 18, not beyond 3NT
KJ3.A82.KQ52.J92  1D 3S  notrump 3NT         | 14, the cheapest level
Q83.A82.KQ52.Q92  1D 1S  notrump 1NT         | Qxx stops
Q3.A82.KQ852.Q92  1D 1S  rebid 2D            | Qx does not; 2H is dearer than 2D on five
A.K82.KQ852.Q982  1D 1S  notrump 1NT         | the ace alone stops; before four clubs
K.A82.KQ852.Q982  1D 1S  second_suit 2C      | the king alone does not
83.A2.AQ852.K952  1D 1S  second_suit 2C      | four clubs, lower than 2D
83.A2.KQ92.AQT52  1C 1S  rebid 2C            | four diamonds, higher than 2C, 15
83.A2.KQ92.AQJ52  1C 1S  second_suit 2D      | 16
KQ5.A64.82.KJ852  1C 1D  three_card_raise 1S | three in each: spades
K5.A64.832.KQJ52  1C 1D  three_card_raise 1H | three hearts alone
KQ5.82.A64.K9852  1C 1H  three_card_raise 1S | three spades
83.AK752.Q83.K92  1H 1S  three_card_raise 2C | three in each minor: clubs
832.AK752.Q83.K9  1H 1S  three_card_raise 2D | three diamonds alone
J73.A82.KQ85.Q92  1D 1S  three_card_raise 2H | four diamonds
832.A2.AKQ52.J92  1D 1S  rebid 2D            | two hearts
K82.AK752.8.KJ95  1H 3D  rebid 3H            | 3H before 3S
832.AK752.Q83.K9  1H 2S  three_card_raise 3D | 3D is no dearer than 3H
9832.AK752.Q8.K9  1H 1S  rebid 2H            | three in neither
832.A2.K93.AQ852  1C 1S  rebid 2C            | nothing else
"""

# opener's hand after a minor, 1H and 1S: raise
SPADE_RAISES = """
KQ5.82.A64.K9852  2S | 13
KQ5.82.AQ4.KT852  2S | 15
KQ5.8.AQ42.KT852  3S | 16
KQ5.8.AQ42.KQ852  3S | 18
KQ5.8.AQ42.AQ852  4S | 19
KQ52.82.A64.K952  2S | four spades
K5.82.AQ42.KJ852  -  | two spades
"""

# hands of opener, overcaller and responder, opening, overcall: contract, last bid, trumps, and
# 'settled' where the pair settles
CONTINUATIONS = """
KQ952.8.AK8532.9 AT764.T743.97.AJ 83.AJ62.64.QT532  1D 1S  defended 1S 7 | the penalty pass
83.KQ52.AK853.92 AJT76.97.T9.AQ86 K52.AJ64.Q64.T75  1D 1S  part_score_fit 2H 8 | 10
83.KQ52.AK853.92 AT974.T93.9.AQ74 K52.AJ64.Q64.JT5  1D 1S  game 4H 8     | 11 invites, 14 accepts
83.KQ52.AQ853.92 AJ764.T7.JT2.AKQ K52.AJ64.K64.T75  1D 1S  part_score_fit 3H 8 | 11 invites, 13 declines
83.KQ52.AQ853.92 AQJT4.987.J2.Q87 K52.AJ64.K64.JT5  1D 1S  part_score_fit 3H 8 | 12 invites, 13 declines
83.KQ52.AQ853.92 AQT76.T73.97.AJ8 K52.AJ64.K64.QT5  1D 1S  game 4H 8     | 13 bids game
83.KQ52.AK853.92 AQJ764.7.T9.K864 K52.AJ64.Q64.JT5  1D 2S  part_score_fit 3H 8 | no room to invite, 11
83.KQ52.AK853.92 AQT974.T7.JT2.J4 K52.AJ64.Q64.QT5  1D 2S  game 4H 8     | no room to invite, 12
83.KQ52.AK853.Q4 QJT96.98.QT.KJ32 K52.AJ64.764.T75  1D 1S  part_score_fit 3H 8 | 8 over a jump
83.KQ52.AK853.Q4 QJT97.T93.T.AK62 K52.AJ64.J64.T75  1D 1S  game 4H 8     | 9 over a jump
83.KQ52.AKQ53.K2 AQT97.T7.J9.J943 K52.AJ64.764.T75  1D 1S  game 4H 8     | game at once
83.KQ52.AK853.92 AQJT976.87.9.K63 K52.AJ64.Q64.QT5  1D 3S  game 4H 8     | a minimum at game ends the auction
83.AK752.93.KJ52 AK964.JT98.72.84 QJ2.64.AK54.QT63  1H 1S  part_score_fit 2C 8 | 13 in a minor
83.AK752.Q3.KJ52 KQ965.QT9.J96.A7 AT2.64.AK54.QT63  1H 1S  game 5C 8     | 14 invites, 15 accepts
83.AK752.93.KJ52 KQ964.9.J72.A987 AJ2.64.AK54.QT63  1H 1S  part_score_fit 3C 8 | 15 invites, 13 declines
83.AK752.93.KJ52 KJT64.QJT98.Q8.A AQ2.64.AK54.QT63  1H 1S  game 5C 8     | 16 bids game
83.AK752.Q3.KJ52 QJ97654.Q.972.A8 AT2.64.AK54.QT63  1H 3S  part_score_fit 4C 8 | no room to invite, 14
83.AK752.Q3.KJ52 KT97654.Q93.T62. AJ2.64.AK54.QT63  1H 3S  game 5C 8     | no room to invite, 15
83.AK752.K3.KJ52 KT965.QT.A972.A9 AJ2.64.QJ54.Q763  1H 1S  part_score_fit 3C 8 | 11 over a jump
83.AK752.K3.KJ52 KQT97.J.QJ92.AT4 AJ2.64.AT54.Q763  1H 1S  game 5C 8     | 12 over a jump
KJ3.A82.KQ52.J92 A9876.J9.97.AK63 42.KQ64.A64.QT85  1D 1S  three_notrump 3NT - | 11 invites, 14 accepts
KJ3.A82.KQ52.T92 AQT65.73.83.KJ64 42.KQ64.A64.Q853  1D 1S  notrump_part_score 2NT - | 11 invites, 13 declines
KJ3.A82.KQ52.T92 AT865.JT5.T98.A4 42.KQ64.A64.KJ85  1D 1S  three_notrump 3NT - | 13 HCP bid game
KJ3.A82.KQ52.T92 AT976.JT.98.A764 42.KQ64.A64.QJ85  1D 1S  three_notrump 3NT - | 12 HCP bid game
KJ3.A82.KQ52.J92 AQ9765.97.T963.A 42.KQ64.AJ4.T853  1D 2S  notrump_part_score 2NT - | 10 over 2NT
KJ3.A82.KQ52.J92 AQT765.973.T8.K3 42.KQ64.A64.QT85  1D 2S  three_notrump 3NT - | 11 over 2NT
KJ3.AQ2.KQ52.K92 AQ975.T87.87.A74 42.KJ64.964.QT85  1D 1S  notrump_part_score 2NT - | 6 over a jump
KJ3.AQ2.KQ52.K92 AQT86.983.A8.A64 42.KJ64.J64.QT85  1D 1S  three_notrump 3NT - | 7 over a jump
KJ3.AQ2.KQ52.K92 AQT975.T75.T9.Q6 42.KJ64.AJ4.T853  1D 2S  three_notrump 3NT - | 3NT ends the auction
KJ3.A82.KQ52.J92 AQT97.53.AJ83.Q3 42.KQ9764.64.T85  1D 1S  part_score_fit 2H 9 | six hearts over 1NT
83.A2.AQJ852.K92 AKQ76.T8.T73.Q74 42.KQ9764.64.T85  1D 1S  part_score_fit 2H 8 | six hearts over 2D
83.A2.AQ853.K952 AQJ95.J8.K2.QJ64 T42.KQ9764.J64.T  1D 1S  part_score_fit 2H 8 | hearts before the preference
83.A2.AQ853.K952 KJ975.Q.T2.AJ863 T42.KJ764.J64.QT  1D 1S  part_score_fit 2D 8 | five hearts are not bid
83.A2.AQ853.K952 AQJ95.73.K97.A84 T42.KJ64.J642.Q7  1D 1S  part_score_fit 2D 9 | more diamonds than clubs
83.A2.AQ853.K952 KQ976.Q9.T92.A64 T42.KJ64.J64.QT7  1D 1S  part_score_fit 2D 8 | as many diamonds as clubs
83.A2.AQ853.K952 AKQJ6.T7.T9.AJ63 T42.KJ64.J6.QT74  1D 1S  part_score_fit 2C 8 | fewer diamonds than clubs
83.A2.AQ853.K952 AQ972.T53.T9.AJ6 KT4.KJ64.J64.QT7  1D 1S  part_score_fit 2D 8 | 10 over a lower second suit
83.A2.AQ853.K952 AQJT2.QT.T9.AT86 K9764.KJ64.J6.Q7  1D 1S  part_score_no_fit 2D 7 | 10 without Z's length
83.A2.KQ92.AQJ52 AQ975.85.A65.T93 T42.KJ64.84.K876  1C 1S  part_score_no_fit 2D 6 | 7: no preference
K3.A2.AQJ852.Q92 AJ975.Q853.K9.63 T42.KJ64.64.KT85  1D 1S  part_score_fit 3D 8 | 7 over a jump
K3.A2.AQJ852.J92 AJ765.J975.3.A74 T42.KQ64.64.KT85  1D 1S  part_score_fit 2D 8 | 8 over a minimum
82.AKQJ52.K3.AJ9 7.9864.QJT9852.K KJ64.T3.A64.QT75  1H 3D  game 4H 8     | a jump to game ends the auction
83.AK752.Q83.K92 AT952.JT96.T92.A K64.Q4.AJ54.QT63  1H 1S  part_score_no_fit 2C 7 | 13 over three of a minor
83.AQJ87532.2.Q2 AQ752.96.KT87.A8 KJ4.4.AJ54.JT763  1H 1S  game 4H 9     | eight hearts: game ends the auction
8.AK2.AKJ52.K952 AT963..Q973.AJ64 K52.QJ64.64.QT73  1D 1S  three_notrump 3NT - settled | cue-bid: K52 stops
8.AK2.AKJ52.K952 AK643.853.Q3.A64 952.QJ64.64.QT73  1D 1S  game 4H 7 settled | nothing stops, no minor of nine
8.AK2.AKJ52.K952 AQJ76.J8.QT7.A87 952.QT764.64.QT3  1D 1S  game 4H 8 settled | eight hearts
8.AK2.AKJ52.K952 AQ763.J97.T84.A4 952.QT64.6.QT763  1D 1S  game 5C 9 settled | nine clubs before seven hearts
A3.K2.AKQJ52.J92 QJT9876.T95.T.K6 K52.QJ64.64.QT73  1D 3S  game 5D 8 settled | over a cue-bid of 4S
A3.K2.AKQJ52.J92 QJT9762.T95.T9.K K854.QJ64.6.QT73  1D 3S  game 5D 7 settled | seven of each minor
A3.AKQJ52.K32.J2 QJT9876.87.9.A64 K52.64.AQ54.KT73  1H 3S  game 4H 8     | a bid at game ends the auction
KJ3.A82.KQ52.J92 AQ975.T975.6.A74 42.KQ64.AT4.T853  1D 1S  notrump_part_score 1NT - | 9
KJ3.A82.KQ52.J92 AQ987.T973.3.AQ7 42.KQ64.AJ4.T853  1D 1S  three_notrump 3NT - | 10 invites, 14 accepts
KJ3.A82.KQ52.J92 QT9865.J5.J93.Q7 42.KQ9764.64.AT5  1D 2S  part_score_fit 3H 9 | six hearts at level 3
83.A2.AQJ852.K92 AKJT76.J83..8763 42.KQ9764.64.QT5  1D 2S  part_score_fit 3H 8 | six hearts over 3D
KQJ752.3.A43.Q82 963.8.KQT9876.97 8.KQ9764.52.KT53  1S 3D  part_score_no_fit 3S 7 | six hearts, no room
83.A2.AQ853.K952 QJ972.Q953.KT2.A AT4.KJ64.J64.QT7  1D 1S  part_score_no_fit 3C 7 | 11: one level up
83.A2.AQ853.K952 AKJ95.J93.T2.QJ3 T74.KQ64.KJ6.A87  1D 1S  game 5D 8 settled | 13, no stopper: 8 cards
83.A2.KQ92.AQJ52 KQ975.T873.AJ.T9 T42.KQ64.864.K87  1C 1S  part_score_no_fit 2D 7 | 8 over a higher suit
83.A2.KQ92.AQJ52 AKQ96.JT53.A3.63 T42.KQ64.J64.K87  1C 1S  game 5C 8 settled | 9
K3.A2.AQJ852.Q92 QJ875.8753.K3.A3 T42.KQ64.64.KT85  1D 1S  part_score_fit 3D 8 | 8 over a jump
K3.A2.AQJ852.Q92 AQ987.J985.T.A64 T42.KQ64.64.KJ85  1D 1S  three_notrump 3NT - settled | 9 over a jump
832.A2.K93.AQ852 AJT75.T8.Q75.KJ9 K64.KJ64.AT84.63  1C 1S  part_score_no_fit 3C 7 | 11 opposite 13: up
832.A2.KJ3.AQ852 QJT97.T83.Q5.K97 K64.KJ64.AT84.63  1C 1S  three_notrump 3NT - settled | 11 opposite 14
832.A2.KJ3.AQ852 AQJT9.T.Q97.KJT4 K64.K764.AT84.63  1C 1S  part_score_no_fit 2C 7 | 10 opposite 14
832.A2.KJ3.AK852 AQJT9.985.62.JT7 K64.K764.AT84.Q3  1C 1S  three_notrump 3NT - settled | 12 opposite 15
832.A2.KJ3.AK852 AQJ75.83.Q75.J94 K64.K764.AT84.63  1C 1S  three_notrump 3NT - settled | 10 opposite 15
832.A2.KJ3.AK852 AJT97.J95.95.QJ7 K64.Q764.AT84.63  1C 1S  part_score_no_fit 2C 7 | 9 opposite 15
832.A2.K93.AQ852 AT975.T8.75.KJ94 K64.KQ64.AT84.63  1C 1S  part_score_no_fit 3C 7 | 12 opposite 13
832.A2.K93.AQ852 AJT75.T9.76.K976 K64.KQ64.AT84.J3  1C 1S  three_notrump 3NT - settled | 13
J73.A82.KQ85.Q92 AK864.T53.AT.764 952.KQ64.J64.AT5  1D 1S  part_score_no_fit 2H 7 | 10 over a three-card raise
J73.A82.KQ85.Q92 AK964.Q53.972.AJ T52.KJ764.J6.K75  1D 1S  part_score_fit 2H 8 | 9 support points, five hearts
J73.A82.KQ85.Q92 AT984.75.J972.K4 K52.KJ64.A64.T75  1D 1S  part_score_no_fit 3H 7 | 11 invites
J73.AJ2.KQ85.Q92 AQT86.953.932.K3 K52.KT64.A64.JT5  1D 1S  part_score_no_fit 3H 7 | 12 opposite 13
J73.AQ2.KQ85.Q92 QT986.97.932.AK3 K52.KT64.A64.JT5  1D 1S  three_notrump 3NT - settled | 12 opposite 14
J73.A82.KQ85.Q92 AQT64.Q75.T73.83 K52.KJ64.AJ4.KT5  1D 1S  three_notrump 3NT - settled | 13 and more
J73.A82.KQ85.Q92 AQT984.97.972.J3 K52.KJ64.A64.T75  1D 2S  part_score_no_fit 3H 7 | 11 has no room to invite
J73.A82.KQ85.Q92 AQT986.973.9732. K52.KJ64.AJ4.T75  1D 2S  three_notrump 3NT - settled | 12 would bid game
J73.A82.KQ85.Q92 AQT864.5.9.KJT43 952.KJ64.AJ4.A75  1D 2S  game 4H 7 settled | nothing stops
J73.A82.KQ85.Q92 AQT9864.9.T72.84 K52.KJ64.AJ4.T75  1D 3S  game 4H 7     | a three-card raise at game
83.AK752.Q83.K92 AJ972.QJT9.KT7.7 KQ4.64.AJ54.QJ63  1H 1S  part_score_no_fit 3C 7 | 14 invites
83.AK752.Q83.K92 AJ952.QJ93.97.Q8 KQ4.64.AJ54.AJ63  1H 1S  three_notrump 3NT - settled | 16
83.A2.AQJ8532.Q2 KQ965.T85.7.A643 T42.KQ64.64.KT85  1D 1S  part_score_fit 3D 9 | 8 over a jump with seven
83.A2.AQJ8532.Q2 KQ765.JT73.K9.A4 T42.KQ64.64.KJ85  1D 1S  game 5D 9 settled | 9: nine diamonds
KQ52.AJ64.8.K952 A3.83.AKJ762.T86 JT64.KT75.95.QJ3  1C 1D  part_score_fit 2S 8 | 2D over 1S: 2S on any hand
KQ52.AJ64.8.K952 A3.83.AKJ762.T86 JT64.KQT7.95.AJ3  1C 1D  part_score_fit 2S 8 | 12
KQ52.AJ64.8.K952 A3.83.AKJ762.T86 JT64.KQT7.95.AQ3  1C 1D  game 4S 8     | 13
83.KQ52.AK853.92 AQJT76.T3.T9.KQ6 K52.AJ64.Q64.T75  1D 1S  part_score_fit 3H 8 | 2S over 2H: four
83.KQ52.AK853.92 AQJT76.T3.T9.KQ6 K52.AJ64.QJ4.J75  1D 1S  part_score_fit 3H 8 | 12
83.KQ52.AK853.92 AQJT76.T3.T9.KQ6 K5.AJ64.QJ42.J75  1D 1S  game 4H 8     | 13
83.KQ52.AK853.Q4 AQJT976.T3.T.KJ6 K52.AJ64.764.T75  1D 1S  their_contract 3S 5 | 3S over 3H, responder 8
83.KQ52.AK853.Q4 AQJT976.T3.T.KJ6 K52.AJ64.J64.T75  1D 1S  game 4H 8     | 9
AK752.83.KJ52.92 3.AKJT754.T9.K86 JT4.92.AQ64.AQ53  1S 2H  their_contract 3H 4 | 3H over 3D, responder 14
AK752.83.KJ52.92 3.AKJT754.T9.K86 QT4.92.AQ64.AQ53  1S 2H  game 5D 8     | 15
83.A2.AQJ852.J92 AKQ765.T8.K3.843 T4.KQ9764.T4.QT5  1D 1S  part_score_fit 3H 8 | 2S over 2D: six hearts
83.A2.AQJ852.J92 AKQ765.T8.K3.843 T4.KJ64.974.KQ75  1D 1S  part_score_fit 3D 9 settled | 9, two spades
83.A2.AQJ852.J92 AKQ765.T8.K3.843 T4.QJ64.974.KQ75  1D 1S  their_contract 2S 4 | 8
83.A2.AQJ852.J92 AKQ765.T8.K3.843 JT4.KQ64.97.KQ75  1D 1S  part_score_fit 3D 8 settled | 11, three spades
83.A2.AQJ852.J92 AKQ765.T8.K3.843 JT4.KJ64.97.KQ75  1D 1S  their_contract 2S 5 | 10
83.A2.AQJ852.J92 AKQ765.T8.K3.843 T94.KQ64.97.AK75  1D 1S  part_score_fit 3D 8 settled | 12 + 12
83.A2.AQJ852.J92 AKQ765.T8.K3.843 JT4.KQ64.97.AK75  1D 1S  game 5D 8 settled | 12 + 13
83.A2.AQJ852.J92 AKQ765.T8.K3.843 T4.KJ6.T974.AQ75  1D 1S  part_score_fit 3D 10 settled | 12 + 10, ten cards
83.A2.AQJ852.J92 AKQ765.T8.K3.843 T4.KQ6.T974.AQ75  1D 1S  game 5D 10 settled | 12 + 11, ten cards
J73.A82.KQ85.Q92 AKQ965.Q3.A9.T84 T42.KJT64.J6.K75  1D 1S  their_contract 2S 6 | 2S over a three-card raise
J73.A82.KQ85.Q92 AKQ965.Q3.A9.T84 T4.KJT964.J6.K75  1D 1S  part_score_fit 3H 9 | six hearts
832.A2.K93.AQ852 AT975.T8.75.KJ94 K64.KJ64.QJT4.63  1C 1S  part_score_no_fit 2C 7 | 10 opposite 13
"""

# overcaller's hand, opening, overcall, opener's answer by name and as made: second call
SECOND_BIDS = """
AKJ765.82.K3.J92   1D 1S  raise_minimum 2H  2S   | six spades, 12
AKJ765.82.K3.T92   1D 1S  raise_minimum 2H  pass | 11
AKJ76.82.K3.KJ92   1D 1S  raise_minimum 2H  pass | five spades
AJ98765.82.3.T92   1D 1S  raise_minimum 2H  2S   | seven need no points
AKJ765.82.K3.J92   1D 1S  notrump 1NT       2S   | over notrump at level 1
AKJ765.82.K3.J92   1D 1S  rebid 2D          2S   | over a rebid
AKJ765.82.K3.J92   1D 1S  raise_jump 3H     pass | six at level 3
AKJ9765.82.3.J92   1D 1S  raise_jump 3H     3S   | seven at level 3
AKJ9765.82.3.J92   1D 1S  notrump 2NT       3S   | over 2NT
AKJ9765.82.3.J92   1D 1S  raise_game 4H     pass | the answer is game
AKJ9765.82.3.J92   1D 1S  notrump 3NT       pass | so is 3NT
AKJ9765.82.3.J92   1D 1S  cue_bid 2S        pass | a cue-bid
AKJ9765.82.3.J92   1D 1S  penalty_pass pass pass | a pass
AKJ9765.82.3.J92   1D 2S  own_suit 3D       pass | the overcall was a jump
A3.83.AKJ762.T86   1C 1D  raise_minimum 1S  2D   | six diamonds at level 2
A3.83.AKJ762.T86   1C 1D  raise_jump 2S     pass | six at level 3
A3.8.AKJ7652.T86   1C 1D  raise_jump 2S     3D   | seven at level 3
A2.83.A32.AKJ976   1H 2C  own_suit 2H       pass | six clubs would be bid at level 3
2.83.A32.AKJ9765   1H 2C  own_suit 2H       3C   | seven
A3.8.AKJ7652.T86   1S 2D  raise_jump 3H     pass | seven, no room at level 3
8.AKJ7652.A3.T86   1S 2H  raise_minimum 3D  3H   | seven hearts over three of a minor
"""
