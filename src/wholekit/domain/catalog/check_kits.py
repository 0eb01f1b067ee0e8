"""Faults by which no kit could ever be completed: templates, mounts and joints."""

from collections.abc import Iterator, Mapping

from wholekit.domain.catalog.model import Body, Catalog, Piece, Template
from wholekit.domain.catalog.nearest_words import NearWords, listed
from wholekit.domain.catalog.places import path_of, series_file_of
from wholekit.domain.catalog.words import Role
from wholekit.domain.errors import Problem
from wholekit.domain.openings.words import Mount

FOOT = {
    Mount.REGULAR: Role.SHOE,
    Mount.PARALLEL: Role.SOFFIT_BRACKET,
    Mount.TOP_JAMB: Role.SHOE,
}


def check_kits(catalog: Catalog) -> list[Problem]:
    """Templates that name what is not there, bodies without template, joints nothing can fill."""
    return [*_templates(catalog), *_bodies(catalog)]


def _templates(catalog: Catalog) -> Iterator[Problem]:
    pieces = catalog.pieces
    named = {role: _ids(pieces, role) for role in Role}
    near = {role: NearWords(ids) for role, ids in named.items()}
    mounts: dict[str, set[Mount]] = {}
    for body in catalog.bodies:
        mounts.setdefault(body.family, set()).update(body.mounts)
    near_family = NearWords(mounts)
    for series in catalog.series:
        where = series_file_of(catalog, series.id)
        for template in series.templates:
            for key, role, name in _named(template):
                path = path_of(template, key)
                piece = pieces.get(name)
                if piece is None:
                    right = near[role].right_for(name)
                    fields = {"id": template.id, "given": name, "right": right}
                    yield Problem("template-piece-unknown", fields, where, column=path)
                elif piece.role is not role:
                    right = listed(named[role])
                    fields = {"id": template.id, "given": name, "role": piece.role}
                    fields |= {"wanted": role, "mount": template.mount, "right": right}
                    yield Problem("template-piece-wrong-role", fields, where, column=path)
            for family in sorted(template.families):
                if template.mount in mounts.get(family, ()):
                    continue
                code = "template-mount-unused" if family in mounts else "template-family-unknown"
                fields = {"id": template.id, "given": family, "mount": template.mount}
                fields |= {"right": near_family.right_for(family)}
                yield Problem(code, fields, where, column=path_of(template, "families"))


def _named(template: Template) -> Iterator[tuple[str, Role, str]]:
    """Each piece a template names: its key, the role it must have, its id."""
    named = {
        "main_arms": (Role.MAIN_ARM, template.main_arms),
        "forearms": (Role.FOREARM, template.forearms),
        "feet": (FOOT[template.mount], template.feet),
        "hold_open_arms": (Role.HOLD_OPEN_ARM, template.hold_open_arms),
    }
    for key, (role, names) in named.items():
        for name in names:
            yield key, role, name


def _ids(pieces: Mapping[str, Piece], role: Role) -> list[str]:
    return [piece.id for piece in pieces.values() if piece.role is role]


def _bodies(catalog: Catalog) -> Iterator[Problem]:
    offered = _offered(catalog)
    by_use: dict[tuple[str, Mount], list[Template]] = {}
    for series in catalog.series:
        for template in series.templates:
            for family in template.families:
                by_use.setdefault((family, template.mount), []).append(template)
    for body in catalog.bodies:
        where = series_file_of(catalog, body.series)
        unfilled: dict[Role, list[Mount]] = {}
        for mount in sorted(body.mounts):
            templates = by_use.get((body.family, mount), [])
            if not templates:
                fields: dict[str, object] = {"id": body.id, "mount": mount, "family": body.family}
                path = path_of(body, "mounts")
                yield Problem("body-without-template", fields, where, column=path)
                continue
            feet = [
                catalog.pieces[name]
                for template in templates
                for name in template.feet
                if name in catalog.pieces
            ]
            for role in _unfilled(body, mount, feet, offered):
                unfilled.setdefault(role, []).append(mount)
        for role, mounts in unfilled.items():
            fields = {"id": body.id, "role": role, "mounts": listed(mounts), "family": body.family}
            yield Problem("joint-never-filled", fields, where, column=path_of(body))


Offered = set[tuple[Role, Mount, str, str]]


def _offered(catalog: Catalog) -> Offered:
    """Role and mount each piece serves, by what it fits: everything in its series, or by name."""
    return {
        (piece.role, mount, *fitted)
        for piece in catalog.pieces.values()
        for mount in piece.mounts or Mount
        for fitted in ([("", name) for name in piece.fits] or [(piece.series, "")])
    }


def _unfilled(body: Body, mount: Mount, feet: list[Piece], offered: Offered) -> Iterator[Role]:
    """Roles this body asks for in a mount that no piece can fill.

    What holds and dresses the body fits its family, its id or its series; what holds a foot fits
    the family, the foot's id or the foot's series.
    """

    def is_filled(role: Role, name: str, series: str) -> bool:
        fitted = ((series, ""), ("", body.family), ("", name))
        return any((role, mount, *fit) in offered for fit in fitted)

    of_body = {
        Role.BODY_FASTENER: body.fixing_holes > 0,
        Role.PINION_SCREW: body.pinion_screws > 0,
        Role.PINION_CAP: body.pinion_caps > 0,
        Role.COVER: body.cover_required,
    }
    for role, wanted in of_body.items():
        if wanted and not is_filled(role, body.id, body.series):
            yield role
    screws = Role.BRACKET_FASTENER if mount is Mount.PARALLEL else Role.SHOE_FASTENER
    of_feet = {
        screws: [foot for foot in feet if foot.holes > 0],
        Role.BRACKET_ARM_SCREW: [foot for foot in feet if foot.arm_screws > 0],
    }
    for role, wanting in of_feet.items():
        if wanting and not any(is_filled(role, foot.id, foot.series) for foot in wanting):
            yield role
