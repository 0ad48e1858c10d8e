"""Tests of the demo: its pages, its book and its art."""
