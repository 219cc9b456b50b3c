"""Edge cases by the agreements of other schools, each computed by hand; see edges."""

# hand, agreement: opening in first seat
SCHOOL_OPENINGS = """
AQ52.K763.K83.92   four_card_majors 1NT  | 12 balanced
AQ52.KJ63.Q83.92   four_card_majors 1NT  | 12
AQ52.KJ63.KQ3.92   four_card_majors 1H   | 15 balanced, both majors: hearts
AQ52.KJ63.KQ3.92   reference        1NT  | the same by the reference
AQ52.KJ63.AKQ.J2   four_card_majors 2NT  | 20 balanced
AQ52.KJ63.AKJ.92   four_card_majors 1H   | 18 balanced
AQ52.KJ6.KQ83.92   four_card_majors 1S   | 15, spades and diamonds: the higher
AQ52.KJ6.92.KQ83   four_card_majors 1S   | spades and clubs: the higher
KJ6.AQ52.KQ83.92   four_card_majors 1H   | hearts and diamonds
KJ6.AQ52.92.KQ83   four_card_majors 1H   | hearts and clubs
KJ6.92.AQ52.KQ83   four_card_majors 1D   | both minors: the higher
AQ52.KJ6.KQ8.932   four_card_majors 1S   | 4-3-3-3: the only suit of four
KJ6.AQ52.KQ8.932   four_card_majors 1H   | the only suit of four
KJ6.KQ8.AQ52.932   four_card_majors 1D   | the only suit of four
KJ6.KQ8.932.AQ52   four_card_majors 1C   | the only suit of four
2.KJ63.KQ83.AQ52   four_card_majors 1D   | a singleton spade
KJ63.2.KQ83.AQ52   four_card_majors 1D   | a singleton heart
KJ63.KQ83.2.AQ52   four_card_majors 1C   | a singleton diamond
KJ63.KQ83.AQ52.2   four_card_majors 1H   | a singleton club
KJ63.K983.A952.2   four_card_majors pass | 11 + 4 + 4 = 19
KJ963.KQ83.A952.   four_card_majors 1S   | a suit of five comes first
2.92.AK643.KQ752   four_card_majors 1D   | 5-5: the higher
AKQ3.2.K8652.932   four_card_majors 1D   | the longest suit, not the major of four
AQ752.KJ4.Q83.92   four_card_majors 1NT  | 12, 5-3-3-2 with a five-card major
AQ52.K763.K83.92   two_card_club    1C   | 4-4-3-2: clubs on two
AQ52.K763.92.K83   two_card_club    1C   | three clubs
AQ52.K7.K832.T92   two_card_club    1D   | four diamonds, three clubs
AQ2.K7.K832.Q932   two_card_club    1D   | four of each minor
AQ5.K763.K83.T92   two_card_club    1C   | three of each minor
AQ5.K7.K8632.T92   two_card_club    1D   | five diamonds
"""

# hand, agreement, opening, overcall: call, bid
SCHOOL_RESPONSES = """
K83.Q964.A72.J82   reference         1S 2C  raise_major 2S      | three cards raise, 10 + 0
K83.Q964.A72.J82   four_card_majors  1S 2C  double X            | three do not: the other major
K853.Q96.A72.J82   four_card_majors  1S 2C  raise_major 2S      | four do
KQ3.Q964.AQ72.82   reference         1S 2C  strong_raise 3C     | three cards, 14
KQ3.Q964.AQ72.82   four_card_majors  1S 2C  double X            | the same with four needed
KQ83.Q96.AQ72.82   four_card_majors  1S 2C  strong_raise 3C     | four cards
83.KQ96.A72.J862   reference         1C 1D  one_level_major 1H  | the one four-card major
83.KQ96.A72.J862   one_major_over_1d 1C 1D  double X            | shown by the double
KQ96.K8532.72.86   one_major_over_1d 1C 1D  one_level_major 1H  | five are bid
KQ96.K853.A2.862   one_major_over_1d 1C 1D  double X            | four of each
83.KQ96.A72.J862   one_major_enough  1C 1D  one_level_major 1H  | one major is enough, but bid first
83.KQ96.A72.J862   one_major_over_1d 1D 2C  double X            | over two of a minor as well
83.K96.72.AQJ862   penalty_on_four   1D 1S  new_minor 2C        | no length in spades
KQ83.K96.72.J862   penalty_on_four   1D 1S  penalty_pass pass   | four good cards and 9
KQ83.K96.72.J862   reference         1D 1S  notrump 1NT         | four are not enough
K983.K96.K72.J82   penalty_on_four   1D 1S  notrump 1NT         | four that are not good
83.KQ52.KQ5.Q982   through_4s        1D 4S  double X            | 12 at level 4
83.KQ52.KQ5.J982   through_4s        1D 4S  pass pass           | 11
83.K92.AQ5432.A8   through_4s        1D 4S  raise_minor 5D      | 15 at k = 5
83.K92.AQ5432.K8   through_4s        1D 4S  pass pass           | 14
J9752.KQ52.A8.92   double_on_their_length 1D 1S double X        | five spades
97542.KQ52.A8.92   double_on_their_length 1D 1S double X        | five low spades
KQ952.KQ52.A8.92   double_on_their_length 1D 1S penalty_pass pass | the penalty pass first
8.KQ52.9.T987542   double_on_six     1D 1S  pass pass           | 5 HCP
8.KQ52.9.J987542   double_on_six     1D 1S  double X            | 6 HCP
KJ752.K83.98.J92   five_three_majors 1D 2C  double X            | five spades and three hearts, 9
KJ852.K83.98.J92   reference         1D 2C  pass pass           | not by the reference
K83.KJ752.98.J92   five_three_majors 1C 2D  double X            | five hearts and three spades
KJ52.KQ83.98.T92   five_three_majors 1D 2C  double X            | four-four stays, 9
KJ752.K8.98.J932   five_three_majors 1D 2C  pass pass           | two hearts
KJ75.K83.98.J932   five_three_majors 1D 2C  pass pass           | four and three
KJ752.T83.98.J92   five_three_majors 1D 2C  pass pass           | 6
KJ752.A83.98.J92   five_three_majors 1D 2C  new_major 2S        | 10 bid the suit
KJ752.K83.98.J92   five_three_majors 1C 1D  one_level_major 1S  | not at level 1
"""

# opener's hand, agreement, opening, overcall, after two passes: reopening by name, call as made
SCHOOL_REOPENINGS = """
83.2.AKJ52.KJ952   reopening_suits_first 1D 1S  second_suit 2C | five clubs first
83.32.AKJ52.KJ95   reopening_suits_first 1D 1S  double X       | no suit to bid
83.A2.AQJ852.KJ2   reopening_suits_first 1D 1S  own_suit 2D    | six diamonds first, 15
83.A2.AQJ852.KQ2   reopening_suits_first 1D 1S  double X       | 16
92.KJ842.AKJ52.2   reopening_suits_first 1D 1S  second_suit 2H | five hearts first
8.32.AKJ52.AKJ52   reopening_suits_first 1D 2S  second_suit 3C | 16 at level 3
83.A52.AQJ52.J92   reopening_on_two      1D 3S  double X       | two spades, 12 at level 3
"""
