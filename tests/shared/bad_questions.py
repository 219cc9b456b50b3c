"""Questions that cannot be answered: arguments of the command, and a piece of the complaint."""

HAND = "K752.AJ64.83.T92"
OPENS = "AK752.AJ64.83.T9"  # 12 HCP: would have opened

BAD_QUESTIONS = [
    # the hand
    (["", "1D 1S"], "does not have four suits"),
    (["K752", "1D 1S"], "does not have four suits"),
    (["K752.AJ64.83", "1D 1S"], "does not have four suits"),
    (["K752.AJ64.83.T92.", "1D 1S"], "does not have four suits"),
    (["K752 AJ64 83 T 92", "1D 1S"], "does not have four suits"),
    (["AK ♠752 ♥AJ64 ♦83 ♣T9", "1D 1S"], "does not have four suits"),
    (["K752.AJ64.83.T9", "1D 1S"], "12 cards"),
    (["K752.AJ64.83.T982", "1D 1S"], "'K752.AJ64.83.T982' has 14 cards"),
    (["...", "1D 1S"], "0 cards"),
    (["A.-.-.-", "1D 1S"], "1 card;"),
    (["K752.AJ64.83.T99", "1D 1S"], "♣9 twice"),
    (["♠K75 ♠2 ♥AJ64 ♦83 ♣T92 ♠K", "1D 1S"], "♠K twice"),
    (["K752.AJ64.83.1T2", "1D 1S"], "'1' is not a card"),
    (["K752.AJ64.83.T9X", "1D 1S"], "'X' is not a card"),
    (["K752.AJ64.83.T9\n", "1D 1S"], "12 cards"),
    # the auction
    ([HAND, ""], "has no opening and overcall"),
    ([HAND, "pass pass"], "has no opening and overcall"),
    ([HAND, "1D"], "has no overcall"),
    ([HAND, "1D pass"], "has no overcall"),
    (
        [HAND, "1D 1S pass"],
        "the study does not cover this auction; allowed: 1D 1S for the responder",
    ),
    ([HAND, "p p p p 1D 1S"], "4 passes"),
    ([HAND, "1D X"], "has no overcall"),
    ([HAND, "1D 8S"], "'8S' is not a bid"),
    ([HAND, "2D 3C"], "opens 2D; allowed: 1C, 1D, 1H or 1S"),
    ([HAND, "1NT 2C"], "opens 1NT"),
    ([HAND, "1D 1NT"], "an overcall in a suit"),
    ([HAND, "1D 2D"], "a suit other than diamonds"),
    ([HAND, "1S 1H"], "not higher than 1S"),
    ([HAND, "1S 1S"], "a suit other than spades"),
    # what the rules and the cards do not allow
    ([HAND, "1D 5C"], "by the rules; allowed"),
    ([HAND, "1D 7S"], "by the rules; allowed"),
    ([OPENS, "pass pass 1D 1H"], "passed in seat 1, but it would have opened 1S"),
    ([OPENS, "pass pass pass 1D 1H"], "passed in seat 2, but it would have opened 1S"),
    (["AKQJT9876.432.2.", "1D 1S"], "no deal has this auction and this hand"),
    (["AKQJT98765432...", "1S 2H"], "no deal has this auction and this hand"),
    (
        [HAND, "pass pass pass 1D 3C"],
        "no deal has this auction and this hand",
    ),  # seven good clubs open 3C
    # the opener's
    ([OPENS, "1D 1H X P P"], "the study does not cover this auction"),
    ([OPENS, "1D 1H X 1D"], "the study does not cover this auction"),
    ([OPENS, "1D 1H X X"], "the study does not cover this auction"),
    ([OPENS, "1D 1H P 2H"], "the study does not cover this auction"),
    ([OPENS, "1D 1H X P"], "the hand opened 1D in seat 1, but it would have opened 1S"),
    ([HAND, "pass 1D 1H X P"], "the hand opened 1D in seat 2, but it would have passed"),
    (["AK752.AJ64.83.T9", "1S 4D X P"], "no hand from the other 39 cards doubles it"),
    # the options
    ([HAND, "1D 1S", "--agreement", "nowhere.toml"], "nowhere.toml"),
    ([HAND, "1D", "1S", "1C"], "the study does not cover this auction"),
    ([HAND, "1D 1S", "--deals", "7"], "unrecognized arguments"),
    ([], "required: HAND"),
]
