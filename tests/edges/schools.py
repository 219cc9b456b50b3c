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
