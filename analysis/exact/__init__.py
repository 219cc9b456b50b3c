"""The same quantities as the sampler counts, worked out without sampling.

``one_hand`` and ``two_hands`` count hands; ``overcall`` goes as far as the overcall;
``three_hands`` to the responder; ``table`` is what the rest of the study asks, and ``cache`` keeps it
on disk. Imports bidding and what is below.
"""
