"""The North Room, Eddermouth: an invented studio with its kit, its ledger and rendered portraits. Data only."""
