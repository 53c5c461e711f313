"""Tests of the pages: parts and figures without a server, the app in a real browser."""
