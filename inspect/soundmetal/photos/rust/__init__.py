"""How much of an outlined area looks rusted: a suggestion for a person, never a finding by itself."""
