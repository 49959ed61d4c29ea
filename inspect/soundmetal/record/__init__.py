"""What people write down about one car, as frozen models; nothing that could be computed is in here."""
