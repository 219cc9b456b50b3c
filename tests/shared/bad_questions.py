"""Questions that cannot be answered: arguments of the command, and a piece of the complaint."""

from shared.table_rows import cases

HAND = "K752.AJ64.83.T92"

OF_HANDS = """
                            | does not have four suits
K752                        | does not have four suits
K752.AJ64.83                | does not have four suits
K752.AJ64.83.T92.           | does not have four suits
K752 AJ64 83 T 92           | does not have four suits
AK ♠752 ♥AJ64 ♦83 ♣T9       | does not have four suits
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
OF_AUCTIONS = """
K752.AJ64.83.T92 |                 | has no opening and overcall
K752.AJ64.83.T92 | pass pass       | has no opening and overcall
K752.AJ64.83.T92 | 1D              | has no overcall
K752.AJ64.83.T92 | 1D pass         | has no overcall
K752.AJ64.83.T92 | 1D 1S pass | the study does not cover this auction; allowed: 1D 1S for the responder
K752.AJ64.83.T92 | p p p p 1D 1S   | 4 passes
K752.AJ64.83.T92 | 1D X            | has no overcall
K752.AJ64.83.T92 | 1D 8S           | '8S' is not a bid
K752.AJ64.83.T92 | 2D 3C           | opens 2D; allowed: 1C, 1D, 1H or 1S
K752.AJ64.83.T92 | 1NT 2C          | opens 1NT
K752.AJ64.83.T92 | 1D 1NT          | an overcall in a suit
K752.AJ64.83.T92 | 1D 2D           | a suit other than diamonds
K752.AJ64.83.T92 | 1S 1H           | not higher than 1S
K752.AJ64.83.T92 | 1S 1S           | a suit other than spades
K752.AJ64.83.T92 | 1D 5C           | by the rules; allowed
K752.AJ64.83.T92 | 1D 7S           | by the rules; allowed
AK752.AJ64.83.T9 | pass pass 1D 1H | passed in seat 1, but it would have opened 1S
AK752.AJ64.83.T9 | pass pass pass 1D 1H | passed in seat 2, but it would have opened 1S
AKQJT98765432... | 1S 2H           | no deal has this auction and this hand
K752.AJ64.83.T92 | pass pass pass 1D 3C | no deal has this auction and this hand
AK752.AJ64.83.T9 | 1D 1H X P P     | the study does not cover this auction
AK752.AJ64.83.T9 | 1D 1H X 1D      | the study does not cover this auction
AK752.AJ64.83.T9 | 1D 1H X X       | the study does not cover this auction
AK752.AJ64.83.T9 | 1D 1H P 2H      | the study does not cover this auction
AK752.AJ64.83.T9 | 1D 1H X P       | the hand opened 1D in seat 1, but it would have opened 1S
K752.AJ64.83.T92 | pass 1D 1H X P  | the hand opened 1D in seat 2, but it would have passed
AK752.AJ64.83.T9 | 1S 4D X P       | no hand from the other 39 cards doubles it
"""

BAD_QUESTIONS = [
    *(([hand, "1D 1S"], said) for hand, said in cases(OF_HANDS)),
    *(([hand, auction], said) for hand, auction, said in cases(OF_AUCTIONS)),
    (["K752.AJ64.83.T9\n", "1D 1S"], "12 cards"),
    ([HAND, "1D", "1S", "1C"], "the study does not cover this auction"),
    ([HAND, "1D 1S", "--agreement", "nowhere.toml"], "nowhere.toml"),
    ([HAND, "1D 1S", "--deals", "7"], "unrecognized arguments"),
    ([], "required: HAND"),
]
