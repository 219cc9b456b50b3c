"""Tables, sentences and figures."""
