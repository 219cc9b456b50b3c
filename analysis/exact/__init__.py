"""The same quantities as the sampler counts, worked out without sampling."""
