"""Errors of signing in, in sentences."""

ERRORS: dict[str, str] = {
    "account-needed": "{who} has no account to sign in with. An owner gives one: wholekit house "
    "account {who}.",
    "account-end-sure": "Tick the box beside it: {name} can sign in no more then.",
    "account-own": "Nobody ends their own account; another owner does.",
    "account-taken": "{who} was given an account by somebody else just now; look again.",
    "one-time-code-wrong": "That is not the code the device shows now; wait for the next one and "
    "try again.",
    "password-asked": "{who} has a password that an owner gave; choose another first: wholekit "
    "sign-in {who}.",
    "password-long": "A password has at most {most} characters.",
    "password-plain": "That password would be guessed at once; use three or four words that do not "
    "belong together.",
    "password-same": "That is the password you have; choose another.",
    "password-short": "A password needs at least {least} characters: three or four words that do "
    "not belong together will do.",
    "password-wrong": "That is not your present password.",
    "passwords-differ": "The new password was not written alike both times.",
    "person-not-entered": "The house knows nobody named {who}; it knows {known}. Enter them "
    "first: wholekit house person.",
    "serve-needs-owner": "Nobody can sign in yet, and there is no terminal here to ask at. Make "
    "the owner's account first: wholekit house account NAME.",
    "sign-in-later": "Too many wrong tries. Wait {minutes} minutes, or ask an owner for a new "
    "password.",
    "sign-in-needed": "This house asks people to sign in before they {what}: wholekit sign-in. A "
    "name given with --by is not enough here.",
    "signed-in-as-other": "{who} is signed in at this machine, not {given}. Leave --by out, or "
    "sign in as {given}: wholekit sign-in {given}.",
    "sign-in-wrong": "Name, password or code is not right. Whoever has lost theirs asks an owner "
    "for a new password.",
    "token-days-wrong": "A token lasts from 1 to {most} days, not {given}.",
    "token-label-wrong": "{given} does not say what the token is for; write up to 60 letters and "
    "digits, such as shelf scanner 2.",
    "token-no-longer": "The token of this machine no longer holds. Run wholekit sign-in, or ask an "
    "owner for a new one.",
}
