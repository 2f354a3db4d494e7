"""How parts of a workbook point to each other, and the list of what kind each part is."""

import posixpath

from template_builder.files.package import CONTENT_TYPES
from workbook.output.marking.markup import Markup, Node, escaped
from workbook.output.marking.package import Package

RELATION_SPACE = "http://schemas.openxmlformats.org/package/2006/relationships"
EMPTY_LINKS = f'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n<Relationships xmlns="{RELATION_SPACE}"/>'
TYPE_START = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/"
ROOT_LINKS = "_rels/.rels"
OUTSIDE = "External"


class Links:
    """The links that leave one part. `kind` is the last word of a link's type, such as "comments"."""

    def __init__(self, package: Package, part: str) -> None:
        self.package = package
        self.folder, name = posixpath.split(part)
        self.name = posixpath.join(self.folder, "_rels", f"{name}.rels")
        self.nodes = self._nodes()

    def _nodes(self) -> list[Node]:
        if self.name not in self.package:
            return []
        return [node for node in Markup(self.package.markup(self.name)).root.children if node.local == "Relationship"]

    def of_kind(self, kind: str) -> str | None:
        """The part that the first link of this kind points to."""
        for node in self.nodes:
            if node.attributes.get("Type", "").endswith(f"/{kind}") and node.attributes.get("TargetMode") != OUTSIDE:
                return self._target(node)
        return None

    def of_id(self, id: str) -> str | None:
        """The part that the link with this id points to."""
        return next((self._target(node) for node in self.nodes if node.attributes.get("Id") == id), None)

    def _target(self, node: Node) -> str:
        return posixpath.normpath(posixpath.join("/", self.folder, node.attributes.get("Target", "")))[1:]

    def add(self, kind: str, part: str) -> str:
        """Link to a part; gives the id of the new link."""
        taken = {node.attributes.get("Id", "").casefold() for node in self.nodes}
        number = len(taken) + 1
        while f"rid{number}" in taken:
            number += 1
        data = self.package.markup(self.name) if self.name in self.package else EMPTY_LINKS.encode("ascii")
        markup = Markup(data)
        link = f'<{markup.prefix}Relationship Id="rId{number}" Type="{TYPE_START}{kind}" Target="/{escaped(part)}"/>'
        markup.append(markup.root, link)
        self.package.write(self.name, markup.result())
        self.nodes = self._nodes()
        return f"rId{number}"


def workbook_part(package: Package) -> str:
    """The part that lists the sheets."""
    links = Markup(package.markup(ROOT_LINKS)).root.children
    found = (node.attributes.get("Target", "") for node in links if node.attributes.get("Type", "").endswith("/officeDocument"))
    return posixpath.normpath(posixpath.join("/", next(found)))[1:]


def state_type(package: Package, part: str, kind: str) -> None:
    """Put a part of this content type on the list of parts."""
    markup = Markup(package.markup(CONTENT_TYPES))
    markup.append(markup.root, f'<{markup.prefix}Override PartName="/{escaped(part)}" ContentType="{kind}"/>')
    package.write(CONTENT_TYPES, markup.result())


def state_ending(package: Package, ending: str, kind: str) -> None:
    """Say what parts with this ending are, unless the list of parts says so already."""
    markup = Markup(package.markup(CONTENT_TYPES))
    stated = {node.attributes.get("Extension", "").casefold() for node in markup.root.children if node.local == "Default"}
    if ending not in stated:
        markup.insert(markup.root.inner, f'<{markup.prefix}Default Extension="{ending}" ContentType="{kind}"/>')
        package.write(CONTENT_TYPES, markup.result())
