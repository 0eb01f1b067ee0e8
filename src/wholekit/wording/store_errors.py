"""Errors of the store, its settings and its backups, in sentences."""

ERRORS: dict[str, str] = {
    "backup-broken": "The backup {path} is damaged and cannot be read to its end ({error}). "
    "Nothing was changed; restore another backup.",
    "backup-faulty": "The backup {path} is damaged: {faults}. Nothing was changed. Restore another "
    "backup; or, where there is no other, this one with its faults: --with-faults.",
    "backup-foreign": "{path} is no backup made by wholekit. Nothing was changed.",
    "backup-missing": "There is no backup {path}. Nothing was changed.",
    "backup-newer": "The backup {path} has version {version}, made by a newer wholekit; this one "
    "knows versions up to {newest}. Restore it with the newer program. Nothing was changed.",
    "backup-there": "{path} is there already. Name another file. Nothing was written.",
    "backup-unreadable": "The backup {path} cannot be read: {error}. Nothing was changed; see to "
    "the rights of the file, or name another.",
    "backup-unwritable": "Cannot write the backup {path}: {error}. Nothing was written.",
    "catalog-edition-older": "Nothing was loaded: catalogue {id} is of an older edition than the "
    "one in the store. Where it is meant, say so with --older-edition.",
    "catalog-not-confirmed": "Nothing was loaded. Confirm with --yes where nobody can be asked.",
    "catalog-not-loaded": "The store holds no catalogue {id}; it has {known}.",
    "database-url-wrong": "WHOLEKIT_DATABASE_URL names a {kind} address, but the store can be in "
    "PostgreSQL only: postgresql://user@host/database. Without it the store is one SQLite file in "
    "WHOLEKIT_HOME.",
    "home-unknown": "The folder {path} cannot be told: this machine knows no such home. Name the "
    "data folder in full in WHOLEKIT_HOME.",
    "snapshot-changed": "The issued revision {revision} is not as it was issued: its text no "
    "longer fits its digest. Run wholekit db check, and restore a backup.",
    "store-address-wrong": "WHOLEKIT_DATABASE_URL cannot be read; right would be postgresql://"
    "user:password@host:5432/database, with @ : / ? # and % of a password written as %40 %3A %2F "
    "%3F %23 %25.",
    "store-broken": "The store {place} is damaged ({error}). Restore a backup: wholekit db "
    "restore.",
    "store-busy": "The store {place} is busy: somebody else has been writing for too long. Nothing "
    "was changed; try again.",
    "store-foreign": "{place} holds data that are not wholekit's. Nothing was changed; name "
    "another place in WHOLEKIT_HOME or WHOLEKIT_DATABASE_URL.",
    "store-full": "The disk that holds the store {place} is full. Nothing was changed; make room "
    "and try again.",
    "store-log-left": "The store {place} cannot be read where it is: its last changes are still in "
    "{log}, and reading that takes the right to write beside it. Open the store once with that "
    "right (wholekit db check), or copy both files to a folder you may write to and name it in "
    "WHOLEKIT_HOME.",
    "store-moved": "Somebody changed the store {place} while it was being read without the right "
    "to lock it. Nothing was changed by this; try again.",
    "store-newer": "The store {place} has version {version}, made by a newer wholekit; this one "
    "knows versions up to {newest}. Nothing was changed; use the newer program.",
    "store-not-empty": "The store {place} has data in it. Restoring would replace them all: say so "
    "with --overwrite. Nothing was changed.",
    "store-outdated": "The store {place} has version {version}; this program works with {newest}. "
    "Upgrade it once: wholekit db upgrade.",
    "store-read-only": "The store {place} cannot be written: the {part} is read-only. Nothing was "
    "changed; give the right to write, or name another folder in WHOLEKIT_HOME.",
    "store-row-gone": "The {what} that this belongs to is not there any more: somebody took it "
    "out, or restored a backup. Nothing was changed; look again.",
    "store-row-taken": "Somebody else added the same {what} a moment before. Nothing was changed; "
    "look at theirs, and try again.",
    "store-sqlite-old": "The SQLite of this Python is {version}; a store needs {oldest} or newer "
    "(strict tables). Nothing was touched; run wholekit on a newer Python.",
    "store-unreachable": "Cannot reach the store {place}: {error}",
    "store-unreadable": "The store {place} cannot be read: you have no right to read the file.",
    "store-unwritable": "Cannot write to the store {place}: {error}. Nothing was changed; see to "
    "the rights of the folder, or name another in WHOLEKIT_HOME.",
}
