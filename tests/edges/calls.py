"""Edge cases of the opening, the overcall and the response, each computed by hand; see edges."""

# hand, seat: opening
OPENINGS = """
AKQ2.AK4.K32.K32  1  2C   | 22 HCP
AKQ2.AK4.K32.Q32  1  2NT  | 21 balanced
AKQ2.AK4.K32.J32  4  2NT  | 20 balanced
AKQ32.AKQ4.K32.2  1  1S   | 21, a singleton
AKQ2.AK4.K32.432  1  1C   | 19 balanced: between the notrump openings
AKQ2.AQ4.K32.432  1  1C   | 18 balanced: between the notrump openings
AKQ2.AJ4.K32.432  1  1NT  | 17 balanced
AKQ2.A43.Q32.432  1  1NT  | 15 balanced
AKQ2.A43.J32.432  1  1C   | 14 balanced, three of each minor
AQ752.KJ4.K83.Q2  1  1NT  | 15, 5-3-3-2 with a five-card major
AQ752.KJ43.K8.Q2  1  1S   | 15, 5-4-2-2 is not balanced
AQ52.KJ63.KQ83.2  1  1D   | 15, 4-4-4-1 is not balanced
KQ52.A64.K83.T92  1  1C   | 12
KQ52.A64.Q83.T92  1  pass | 11 + 4 + 3 = 18
KQ752.A764.Q8.T9  1  1S   | 11 + 5 + 4 = 20
KQ752.A76.Q83.T9  1  pass | 11 + 5 + 3 = 19, and no weak two with five cards
KQ752.A7643.J8.9  1  1S   | 10 + 5 + 5 = 20
KQ752.A764.J83.9  1  pass | 10 + 5 + 4 = 19
KQ7652.A764.J8.9  1  1S   | 10 + 6 + 4 = 20: rule 4 comes before the weak two
KQ7652.A76.J8.T9  1  2S   | 10 + 6 + 3 = 19: a weak two with 10
KQ7652.A76.J8.T9  4  pass | no weak opening in fourth seat
KQ7652.A7643.8.9  1  2S   | 9 + 6 + 5 = 20, but fewer than 10 HCP
KQ7652.A76.Q8.T9  1  1S   | 11 + 6 + 3 = 20
KQ7652.T76.83.T9  3  2S   | 5 HCP, third seat
KQ7652.T76.83.T9  4  pass | 5 HCP, fourth seat
KJ7652.T76.83.T9  1  pass | 4 HCP
T76.83.T9.KQ7652  1  pass | six clubs are no weak two
T76.83.KQ7652.T9  1  2D   | six diamonds are
T76.83.9.KQ76542  1  3C   | seven clubs
KQ76542.T76.83.9  2  3S   | seven spades
KQ76542.A76.98.9  1  3S   | 9 + 7 + 3 = 19
KQ76542.A76.J8.9  1  1S   | 10 + 7 + 3 = 20
9.KQ765432.83.T9  1  4H   | eight hearts
9.T9.KQ8765432.8  1  4D   | nine diamonds
AT7652.Q76.83.T9  1  2S   | A T is good
QT7652.K76.83.T9  1  2S   | Q T is good
JT7652.AQ6.83.T9  1  pass | J T is not good
A97652.Q76.83.T9  1  pass | one of the top five is not good
J87652.KQ7652.8.  1  pass | of equals spades count, and hearts are not tried instead
KQ752.AK643.8.92  1  1S   | 5-5: the higher
2.92.AK643.KQ752  1  1D   | 5-5: the higher
A52.K2.KQ83.9842  1  1D   | four of each minor
A52.K763.Q3.K842  1  1C   | the longer minor
AQ52.K763.K83.92  1  1D   | the longer minor, of three cards
"""

# hand, opening: rule, bid
OVERCALLS = """
KQ5.AJ64.K83.Q92  1D  notrump_overcall -   | 15, Kxx
KQ5.AJ64.K83.J92  1D  pass -               | 14, three diamonds
KQ5.AJ64.K8.Q972  1D  notrump_overcall -   | Kx stops
KQ5.AJ64.Q83.K92  1D  notrump_overcall -   | Qxx stops
KQ5.AJ64.Q8.K972  1D  takeout_double -     | Qx does not
AQ5.AJ6.J832.K92  1D  notrump_overcall -   | Jxxx stops
KQ5.AJ64.J83.KJ2  1D  pass -               | 15, Jxx does not stop
KQ5.AJ64.K83.AJ2  1D  notrump_overcall -   | 18 with a stopper
KQ5.AJ64.K83.AQ2  1D  strong_double -      | 19
KQ5.AJ64.J83.AK2  1D  strong_double -      | 18 without a stopper
KQ5.AJ64.J83.AQ2  1D  pass -               | 17 without a stopper, three diamonds
K9752.Q9643.8.J2  1D  two_suited -         | 6, both majors
K9752.Q9643.8.92  1D  pass -               | 5
8.K9752.92.QJ643  1D  two_suited -         | hearts and clubs
KQ752.8.92.QJ643  1D  one_level_major 1S   | spades and clubs after 1D are not two-suited
K9752.8.92.QJ643  1D  pass -               | the same with 6
KQ752.8.QJ643.92  1C  one_level_major 1S   | spades and diamonds after 1C
8.KQ752.QJ643.92  1C  two_suited -         | hearts and diamonds after 1C
KQ752.8.92.QJ643  1H  two_suited -         | after a major any pair
8.92.KQ752.QJ643  1S  two_suited -         | both minors
KQ752.QJ643.8.92  1H  one_level_major 1S   | five cards in Y make no second suit
KQ7652.876.83.T9  1D  weak_jump 2S         | 5
KJ7652.876.83.T9  1D  pass -               | 4
KQ7652.A76.J8.T9  1D  weak_jump 2S         | 10
KQ7652.A76.Q8.T9  1D  one_level_major 1S   | 11
K97652.A76.J8.T9  1D  pass -               | 8, six spades not good
K97652.AQ6.J8.J9  1D  pass -               | 11, not good
K97652.AQ6.J8.Q9  1D  one_level_major 1S   | 12, not good
83.T76.KQ7652.J8  1C  weak_jump 2D         | 2 is higher than c = 1
83.KQ7652.A76.J8  1S  two_level 2H         | no room to jump with six; rule 8 with 10
83.KQ7652.A76.T8  1S  pass -               | the same with 9
8.KQ76542.A76.T8  1S  weak_jump 3H         | seven
8.76.KQ765432.T8  1C  weak_jump 4D         | eight
83.A76.J8.KQ7652  1D  two_level 2C         | six clubs, 10
KQ752.8.K76542.9  1D  one_level_major 1S   | the longer suit is Y: Z is spades
KQ752.Q87.83.J92  1C  one_level_major 1S   | 8, good
KQ752.Q87.83.T92  1C  pass -               | 7
K9752.KQ7.83.T92  1C  pass -               | 8, not good
K9752.KQ7.K3.T92  1C  pass -               | 11, not good
K9752.KQ7.KJ.T92  1C  one_level_major 1S   | 12, not good
J9752.AQ7.KJ.Q92  1C  pass -               | 13, no honour in spades
JT752.AQ7.KJ.Q92  1C  pass -               | J T is none
Q9752.AQ7.KJ.T92  1C  one_level_major 1S   | 12 with the queen
AKJ52.AQ74.K3.92  1C  one_level_major 1S   | 17
K9752.AQJ4.K3.A2  1C  one_level_major 1S   | 17, not good
AKJ52.AQ74.KJ.92  1C  strong_double -      | 18
92.KQ752.83.AJ92  1D  one_level_major 1H   | 10
KQ752.A87.83.K92  1D  one_level_major 1S   | fit for a takeout double too: the major first
KQ52.A876.83.K92  1D  takeout_double -     | 12
KQ52.A876.83.Q92  1D  pass -               | 11
KQ52.A87.832.K92  1D  pass -               | three in Y
8.AK763.K32.Q982  1S  takeout_double -     | before the two-level overcall
83.AK763.K2.Q982  1S  two_level 2H         | 12, five good hearts, two diamonds
83.AK763.K2.J982  1S  pass -               | 11
83.A8763.K2.KQ92  1S  pass -               | 12, not good
83.AKQ763.KJ.A92  1S  two_level 2H         | 17
83.AKQ73.KJ84.A2  1S  two_level 2H         | 17, five
83.AKQ763.KQ.A92  1S  strong_double -      | 18
K87.83.AQ752.T92  1C  one_level_diamond 1D | 9, good
J87.83.AQ752.T92  1C  pass -               | 7
KQ8.83.K9752.A92  1C  one_level_diamond 1D | 12, not good
KQ8.83.K9752.K92  1C  pass -               | 11, not good
KQ8.83.J9752.AQ2  1C  pass -               | 12, no honour in diamonds
KQ87.AJ3.98752.K  1C  takeout_double -     | before the one-level diamond
K87.K3.832.AQ752  1D  two_level 2C         | five good clubs, 12
"""

# hand, opening, overcall: call by name, call as made
RESPONSES = """
853.K74.Q832.J92  1H 1S  raise_major 2H     | 6 at k = 2
853.K74.Q832.T92  1H 1S  pass pass          | 5
85.K743.Q832.T92  1H 1S  raise_major 2H     | 5 and a doubleton
85.K74.AQ32.J982  1H 1S  strong_raise 2S    | 10 HCP and a doubleton: 11
85.K74.AQ32.T982  1H 1S  raise_major 2H     | 10
852.K7.AQ32.QJ82  1H 1S  double X           | two hearts are no raise
K74.85.AQ32.J982  1S 2C  strong_raise 3C    | 11 over an overcall at level 2
85.K74.AQ32.J982  1H 2S  strong_raise 3S    | 11 over a jump to level 2
85.K74.AQ32.T982  1H 2S  raise_major 3H     | 10
85.K74.AQ32.J982  1H 3C  raise_major 3H     | 11: no strong raise over level 3
85.K74.AQ32.Q982  1H 3C  raise_major 4H     | 12 over level 3: game
85.K74.KQ32.T982  1H 3C  raise_major 3H     | 9 at k = 3
85.K74.KJ32.T982  1H 3C  pass pass          | 8
85.K74.KQ32.T982  1H 2S  raise_major 3H     | 8 and a doubleton at k = 3
85.K74.KJ32.T982  1H 2S  pass pass          | 8 support points; 7 total, too few to double
K74.8532.QJ2.T92  1S 2C  raise_major 2S     | k = 2 over 2C
85.KQ74.AQ32.982  1H 3S  raise_major 4H     | 12 at k = 4
85.KQ74.AJ32.982  1H 3S  pass pass          | 11
KQ952.K83.985.92  1H 1S  raise_major 2H     | the raise before the penalty pass
83.KJ752.8532.J9  1C 1D  one_level_major 1H | 5 HCP and a fifth heart
83.KT752.8532.J9  1C 1D  pass pass          | 5 total
KJ52.832.9852.Q9  1C 1D  one_level_major 1S | one major of four is bid
832.KJ52.9852.Q9  1C 1D  one_level_major 1H | one major of four is bid
KJ52.8532.985.Q9  1C 1D  double X           | both majors of four, 6
KJ52.8532.985.J9  1C 1D  pass pass          | 5
KJ752.Q8532.98.9  1C 1D  one_level_major 1S | 5-5: spades
KJ52.Q8532.98.92  1C 1D  one_level_major 1H | 5-4: the longer
KJ752.Q86532.9.2  1C 1D  one_level_major 1H | 6-5: the longer
KJ52.83.98532.J9  1C 1D  pass pass          | 5 HCP: length in Z does not count
KJ52.83.98.J9532  1C 1D  one_level_major 1S | 5 HCP and a fifth card in Y
KJ52.83.9853.Q92  1C 1H  double X           | exactly four spades, 6
KJ52.83.9853.J92  1C 1H  pass pass          | 5
KJ752.83.985.Q92  1C 1H  one_level_major 1S | five spades
KT752.83.9853.J9  1D 1H  raise_minor 2D     | 5 total is short of 1S; 6 support points
832.92.KQ853.A52  1C 1H  new_minor 2D       | no four spades; 10 total
KQ952.83.K985.92  1C 1S  penalty_pass pass  | 8 HCP, five good spades
KQ952.83.Q985.92  1C 1S  pass pass          | 7 HCP
K9752.83.KQ85.92  1C 1S  notrump 1NT        | spades not good
KQ52.83.K9853.92  1C 1S  notrump 1NT        | four good spades
KQ952.K832.98.92  1C 1S  penalty_pass pass  | the penalty pass before the double
83.KQ752.985.A92  1D 1S  new_major 2H       | five hearts, 10 total
83.KQ752.985.K92  1D 1S  double X           | five hearts, 9 total
83.AK52.KQ5.KQ92  1D 1S  double X           | four hearts and a strong hand
83.KQ752.985.AQ2  1D 2S  new_major 3H       | 12 at level 3
83.KQ752.985.AJ2  1D 2S  double X           | 11
8.KQ7652.985.AJ2  1D 3S  new_major 4H       | six hearts, 12 at level 4
8.KQ7652.985.A92  1D 3S  double X           | six hearts, 11
83.KQ752.985.AQ2  1D 3S  double X           | five hearts, 12: no room
KQ752.KJ853.98.2  1C 2D  new_major 2S       | 5-5: spades
KJ52.KQ853.98.92  1C 2D  new_major 2H       | five hearts, 10
KJ52.KJ853.98.92  1C 2D  double X           | 9: both majors
KJ52.QT853.98.92  1C 2D  pass pass          | 7 is too few at level 2
KJ52.KT53.98.J92  1D 2C  double X           | 8 at level 2
KQ752.K3.985.T92  1C 2D  pass pass          | five spades, 9 total, two hearts
KQ752.83.A92.985  1H 2C  new_major 2S       | 10
KQ752.83.K92.985  1H 2C  double X           | 9
83.KJ52.985.Q952  1D 1S  double X           | 6 at level 1
8.KQ52.9.T987542  1D 1S  double X           | 5 HCP
8.KJ52.9.T987542  1D 1S  pass pass          | 4 HCP, 7 total
J975.KQ52.A83.92  1D 1S  double X           | four spades
J9752.KQ52.A8.92  1D 1S  notrump 1NT        | five spades: no double
97542.KQ52.A8.92  1D 1S  pass pass          | nor with no stopper
83.KJ52.J985.T92  1D 1S  raise_minor 2D     | 5 total, 6 support points
83.KJ52.J98.T932  1D 1S  pass pass          | 5
83.KJ52.QJ5.J982  1D 2S  double X           | 8 at level 2
83.KJ52.QJ5.T982  1D 2S  pass pass          | 7
83.KJ52.KQ5.J982  1D 3S  double X           | 10 at level 3, on the ceiling
83.KJ52.KQ5.T982  1D 3S  pass pass          | 9
83.AK52.KQ5.K982  1D 4C  above_ceiling -    | 4C is above 3S
83.92.KJ52.Q9853  1H 1S  double X           | both minors, 7
832.92.KJ5.Q9853  1H 1S  pass pass          | five clubs, 7 total, three diamonds
8.92.KQ752.AQ853  1H 1S  double X           | the double before the new minor
8.92.KQ9752.QJ53  1H 1S  new_minor 2D       | six diamonds, 10: before the double
8.92.KJ9752.QJ53  1H 1S  double X           | six diamonds, 9
8.92.QJ53.KQ9752  1H 1S  new_minor 2C       | six clubs
8..KQ9752.QJ5432  1H 1S  new_minor 2D       | six of each: diamonds
8.92.AQ9752.AJ53  1H 3S  new_minor 4D       | six diamonds, 13 at level 4
8.92.KQ9752.QJ53  1H 3S  double X           | six diamonds, 10 at level 4
83.92.KJ52.QJ853  1S 2H  double X           | both minors, 8 at level 2
83.92.KJ52.QT853  1S 2H  pass pass          | 7
KJ52.83.QJ85.J92  1C 2H  double X           | four spades, 8
KJ52.83.Q985.J92  1C 2H  pass pass          | 7
KJ752.83.QJ8.Q92  1C 2H  new_major 2S       | five spades, 10
KJ752.83.QJ8.J92  1C 2H  double X           | five spades, 9
832.92.K52.AQ853  1H 1S  new_minor 2C       | 10 at level 2
832.92.Q52.AQ853  1H 1S  pass pass          | 9
832.92.KQ853.AQ5  1C 2H  new_minor 3D       | 12 at level 3
832.92.KQ853.AJ5  1C 2H  pass pass          | 11
8.32.KJ5.AQ98532  1D 3S  new_minor 4C       | seven clubs, 13 at level 4
83.932.AJ5.AQ985  1D 3S  pass pass          | five clubs are too few at level 4
KJ5.832.Q85.Q952  1D 1S  notrump 1NT        | 8 with a stopper
KJ5.832.J85.Q952  1D 1S  pass pass          | 7
Q53.832.KJ8.Q952  1D 1S  notrump 1NT        | Qxx stops
Q5.832.KJ85.Q952  1D 1S  raise_minor 2D     | Qx does not
J532.832.KQ8.Q92  1D 1S  notrump 1NT        | Jxxx stops
J53.832.KQ8.Q952  1D 1S  raise_minor 2D     | Jxx does not; three diamonds, 8
KJ5.832.KQ5.J952  1D 1S  notrump 1NT        | 10
KJ5.832.KQ5.Q952  1D 1S  notrump 2NT        | 11
KJ5.A32.QJ5.J952  1D 1S  notrump 2NT        | 12
KJ5.A32.KJ5.J952  1D 1S  notrump 3NT        | 13
KJ5.832.KQ5.Q952  1D 2S  notrump 2NT        | 11 at level 2
KJ5.832.KQ5.J952  1D 2S  pass pass          | 10
KJ5.A32.QJ5.J952  1D 2S  notrump 2NT        | 12 at level 2
KJ5.A32.KJ5.J952  1D 2S  notrump 3NT        | 13 at level 2
KJ5.832.KQ5.K952  1D 3S  notrump 3NT        | 12 at level 3
KJ5.832.KQ5.Q952  1D 3S  pass pass          | 11
832.952.83.KQ853  1C 1D  raise_minor 2C     | five clubs, 6
832.952.83.KJ853  1C 1D  pass pass          | 5
832.952.753.AKJ5  1C 1D  raise_minor 2C     | four clubs, 8
832.952.753.AQJ5  1C 1D  pass pass          | four clubs, 7
852.K32.AJ8.9752  1D 1S  raise_minor 2D     | three diamonds, 8
832.95.Q53.AQ853  1C 2H  raise_minor 3C     | five clubs, 9 at k = 3
832.95.J53.AQ853  1C 2H  pass pass          | 8
832.95.KJ53.AQ85  1C 2H  pass pass          | one card fewer counts at k = 2 only
832.K92.AQ32.Q98  1D 1S  strong_raise 2S    | four diamonds, 11
832.K92.AQ32.J98  1D 1S  raise_minor 2D     | 10
8532.K92.AQ3.Q98  1D 1S  raise_minor 2D     | three diamonds, 11
832.K92.A2.QJ985  1C 1S  strong_raise 2S    | five clubs, 10 HCP and a doubleton
832.K92.A32.KJ98  1C 1S  raise_minor 2C     | four clubs, 11
83.KJ52.AQ32.J98  1D 1S  double X           | four hearts before the strong raise
K83.K2.AQ32.9852  1D 1S  notrump 2NT        | a stopper before the strong raise
832.K92.AQ32.KJ8  1D 1S  strong_raise 2S    | 13: before the other cue-bid
8532.K92.AQ3.KJ8  1D 1S  cue_bid 2S         | 13 with three diamonds
832.K92.AQ32.Q98  1D 2S  strong_raise 3S    | 11 at level 2
832.K92.AQ32.J98  1D 2S  raise_minor 3D     | 10
832.K92.AQ32.K98  1D 3S  raise_minor 4D     | 12: no strong raise over level 3
832.K92.AQ32.Q98  1D 3S  pass pass          | 11
8532.K2.AKJ.J952  1H 1S  cue_bid 2S         | 12
8532.K2.AKJ.T952  1H 1S  pass pass          | 11
98532.A2.AJ4.Q95  1H 1S  pass pass          | 11 HCP: length in Z does not count
852.AK2.AJ5.T952  1D 2S  cue_bid 3S         | 12 at level 2
852.AK2.KJ5.T952  1D 2S  pass pass          | 11
852.AK2.AQ5.J952  1D 3S  cue_bid 4S         | 14 at level 3
852.AK2.AQ5.T952  1D 3S  pass pass          | 13
"""

# hand, opening, overcall: reason
REASONS = """
83.KQ752.985.K92  1D 1S  five_or_more        | too few points for 2H
83.KQ752.985.AQ2  1D 3S  five_or_more        | no room
83.AK52.985.K952  1D 1S  four_and_strong     | 10
83.AK52.985.Q952  1D 1S  four_and_ordinary   | 9
83.AK52.98.Q9532  1D 1S  four_and_strong     | 9 HCP and a fifth club
KJ52.83.AQ85.A92  1C 1H  exactly_four_spades | the message decides before the strength
KJ52.83.QJ85.J92  1C 2H  four_and_ordinary   | a jump to 2H: four or more, not exactly four
KJ52.8532.985.Q9  1C 1D  both_suits          | both majors
83.92.KJ52.Q9853  1H 1S  both_suits          | both minors
"""
