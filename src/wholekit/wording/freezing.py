"""A kit's and a quote's texts, as a frozen revision keeps them."""

from collections.abc import Sequence

from wholekit.domain.kits import Kit
from wholekit.domain.openings import OpeningType
from wholekit.domain.rules import RuleBook
from wholekit.services.ports import KitTexts
from wholekit.wording.cautions import TERMS, cautions_for
from wholekit.wording.findings import say_finding
from wholekit.wording.openings import piece_text, sentence, serves, size_text, summary
from wholekit.wording.openings import why_mount as mount_sentence
from wholekit.wording.openings import why_size as size_sentence
from wholekit.wording.reasons import say_reason
from wholekit.wording.words import MOUNTS, ROLES, SIDES, field_name, value_text

_NO_FIELDS = ("width", "height")


class HouseWords:
    """The house's wording; satisfies `services.ports.Words`."""

    def kit(self, kit: Kit, rules: RuleBook) -> KitTexts:
        """A kit's texts."""
        said = summary(kit.type)
        return KitTexts(
            size=size_text(kit.type),
            summary=sentence(said) if said else "",
            mount=MOUNTS[kit.mount],
            body_side=SIDES[kit.body_side],
            why_size=size_sentence(kit),
            why_mount=mount_sentence(kit),
            fields=stated(kit.type),
            lines=tuple(
                (serves(line), tuple(say_reason(reason) for reason in line.because))
                for line in kit.lines
            ),
            findings=tuple(
                (worded.text, worded.hint, worded.source)
                for worded in (say_finding(finding, rules) for finding in kit.findings)
            ),
            missing=tuple((ROLES[one.role], say_reason(one.because)) for one in kit.missing),
            unused=tuple(piece_text(one.role, one.kind, one.quantity) for one in kit.unused),
            assumed=tuple(
                f"{field_name(one.field)}: {value_text(one.field, one.value)}"
                for one in kit.assumed
            ),
            estimates=_estimates(kit),
        )

    def terms(self) -> tuple[str, ...]:
        """The standing terms."""
        return TERMS

    def cautions(self, kits: Sequence[Kit]) -> tuple[str, ...]:
        """The cautions that apply."""
        return cautions_for(kits)


def stated(opening_type: OpeningType) -> tuple[tuple[str, str], ...]:
    """What the schedule states of an opening: plain field name and value, in a schedule's order."""
    found = [("size", size_text(opening_type))]
    for name in OpeningType.__dataclass_fields__:
        value = getattr(opening_type, name)
        if value is not None and name not in _NO_FIELDS:
            found.append((field_name(name), value_text(name, value)))
    return tuple(found)


def _estimates(kit: Kit) -> tuple[str, ...]:
    if kit.proof is None:
        return ()
    verdict = kit.proof.verdict
    return (
        f"force at the handle to set in motion: {verdict.opening_lbf:.1f} lbf "
        f"({verdict.opening_n:.0f} N)",
        f"latches against up to {verdict.latches_to_pa:.0f} Pa",
    )
