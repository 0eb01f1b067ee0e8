"""A mail (RFC 5322, MIME) with a quote's PDF and a short text, to be looked over and sent."""

from email.errors import MessageError
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from hashlib import sha256

from wholekit.domain.errors import CallError
from wholekit.domain.quotes.offer import Offer
from wholekit.wording.exports import mail_subject, mail_text, words_locale
from wholekit.wording.speech import speaking


def mail_bytes(offer: Offer, pdf: bytes, to: Address | None = None) -> bytes:
    """The mail in the customer's language; the same revision, PDF and address give the same bytes.

    It is from the house, where its folder says a mail address; when, and its id, are put in by what
    sends it: no Date or Message-ID is in it. to: None: nobody yet. Raises CallError for an address
    of the house that is none.
    """
    mail = EmailMessage(policy=SMTP)
    with speaking(words_locale(offer)):
        mail["Subject"] = " ".join(mail_subject(offer).split())
        text = mail_text(offer)
    if offer.house_email:
        mail["From"] = mail_address(offer.house_email, offer.house_name)
    if to is not None:
        mail["To"] = to
    mail.set_content(text, cte="quoted-printable")
    name = f"{offer.label.replace('/', '-')}.pdf"
    mail.add_attachment(pdf, maintype="application", subtype="pdf", filename=name)
    # The library's own is drawn by lot.
    mail.set_boundary(f"=-{sha256(text.encode() + pdf).hexdigest()[:32]}")
    return mail.as_bytes()


def mail_address(address: str, name: str = "") -> Address:
    """An address to be written to. Raises CallError (`mail-address-wrong`).

    >>> str(mail_address("buyer@saltmarsh.example", "J. Doe"))
    '"J. Doe" <buyer@saltmarsh.example>'
    """
    try:
        found = Address(" ".join(name.split()), addr_spec=address.strip())
    except (MessageError, ValueError, IndexError):
        raise CallError("mail-address-wrong", given=address) from None
    if not found.domain:
        raise CallError("mail-address-wrong", given=address)
    return found
