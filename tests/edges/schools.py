"""Edge cases of openings by agreements of other schools, each worked out by hand; see edges."""

# hand, agreement: opening in first seat
SCHOOL_OPENINGS = """
AQ52.K763.K83.92   four_card_majors 1NT   | 12 balanced
AQ52.KJ63.Q83.92   four_card_majors 1NT   | 12
AQ52.KJ63.KQ3.92   four_card_majors 1H    | 15 balanced, both majors: hearts
AQ52.KJ63.KQ3.92   reference        1NT   | the same by the reference
AQ52.KJ63.AKQ.J2   four_card_majors 2NT   | 20 balanced
AQ52.KJ63.AKJ.92   four_card_majors 1H    | 18 balanced
AQ52.KJ6.KQ83.92   four_card_majors 1S    | 15, spades and diamonds: the higher
AQ52.KJ6.92.KQ83   four_card_majors 1S    | spades and clubs: the higher
KJ6.AQ52.KQ83.92   four_card_majors 1H    | hearts and diamonds
KJ6.AQ52.92.KQ83   four_card_majors 1H    | hearts and clubs
KJ6.92.AQ52.KQ83   four_card_majors 1D    | both minors: the higher
AQ52.KJ6.KQ8.932   four_card_majors 1S    | 4-3-3-3: the only suit of four
KJ6.AQ52.KQ8.932   four_card_majors 1H    | the only suit of four
KJ6.KQ8.AQ52.932   four_card_majors 1D    | the only suit of four
KJ6.KQ8.932.AQ52   four_card_majors 1C    | the only suit of four
2.KJ63.KQ83.AQ52   four_card_majors 1D    | a singleton spade
KJ63.2.KQ83.AQ52   four_card_majors 1D    | a singleton heart
KJ63.KQ83.2.AQ52   four_card_majors 1C    | a singleton diamond
KJ63.KQ83.AQ52.2   four_card_majors 1H    | a singleton club
KJ63.K983.A952.2   four_card_majors pass  | 11 + 4 + 4 = 19
KJ963.KQ83.A952.   four_card_majors 1S    | a suit of five comes first
2.92.AK643.KQ752   four_card_majors 1D    | 5-5: the higher
AKQ3.2.K8652.932   four_card_majors 1D    | the longest suit, not the major of four
AQ752.KJ4.Q83.92   four_card_majors 1NT   | 12, 5-3-3-2 with a five-card major
AQ52.K763.K83.92   two_card_club    1C    | 4-4-3-2: clubs on two
AQ52.K763.K83.92   reference        1D    | the same by the reference: diamonds on three
AQ52.K763.92.K83   two_card_club    1C    | three clubs
AQ52.K7.K832.T92   two_card_club    1D    | four diamonds, three clubs
AQ2.K7.K832.Q932   two_card_club    1D    | four of each minor
AQ5.K763.K83.T92   two_card_club    1C    | three of each minor
AQ5.K7.K8632.T92   two_card_club    1D    | five diamonds
"""

# hand, agreement, opening, overcall: call, bid
SCHOOL_RESPONSES = """
K83.Q964.A72.J82   reference         1S 2C  raise_major 2S     | three cards raise, 10 + 0
K83.Q964.A72.J82   four_card_majors  1S 2C  double X           | three do not: the other major
K853.Q96.A72.J82   four_card_majors  1S 2C  raise_major 2S     | four do
KQ3.Q964.AQ72.82   reference         1S 2C  strong_raise 3C    | three cards, 14
KQ3.Q964.AQ72.82   four_card_majors  1S 2C  double X           | the same with four needed
KQ83.Q96.AQ72.82   four_card_majors  1S 2C  strong_raise 3C    | four cards
83.KQ96.A72.J862   reference         1C 1D  one_level_major 1H | the one four-card major
83.KQ96.A72.J862   one_major_over_1d 1C 1D  double X           | shown by the double
KQ96.K8532.72.86   one_major_over_1d 1C 1D  one_level_major 1H | five are bid
KQ96.K853.A2.862   one_major_over_1d 1C 1D  double X           | four of each
83.KQ96.A72.J862   one_major_enough  1C 1D  one_level_major 1H | one major is enough, but bid first
83.KQ96.A72.J862   one_major_over_1d 1D 2C  double X           | over two of a minor as well
83.K96.72.AQJ862   penalty_on_four   1D 1S  new_minor 2C       | no length in spades
KQ83.K96.72.J862   penalty_on_four   1D 1S  penalty_pass pass  | four good cards and 9
KQ83.K96.72.J862   reference         1D 1S  notrump 1NT        | four are not enough
K983.K96.K72.J82   penalty_on_four   1D 1S  notrump 1NT        | four that are not good
"""
