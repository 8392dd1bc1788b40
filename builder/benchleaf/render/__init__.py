"""Floor 6: documents from cards: pictures, HTML, PDF, index."""
