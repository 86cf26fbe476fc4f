"""Lays down the file: python -m tests.sentences"""

from tests.sentences.catalogue import PAGE, page

if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
