"""Reading what comes from outside: schedules, shorthand, catalogues, kits, the rule book."""
