"""The pack: hands, random deals, and how both are written."""
