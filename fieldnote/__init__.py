"""fieldnote: a voice-and-photo field notebook for gas-service work, on the engineer's own machine."""

__version__ = "0.1.0"
