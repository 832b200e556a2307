"""The cutting table: what comes out of a cloth, and how many pieces are asked for."""
