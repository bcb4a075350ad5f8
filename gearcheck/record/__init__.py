"""What lasts: revisions, decisions, confirmations and signatures of one record, and their verification."""
