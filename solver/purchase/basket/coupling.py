"""Which parts of a job must be bought in one decision, and which stay on their own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from solver.catalogue import Hardware, Kit, Pack
from solver.parts.offers import kit_mesh, kit_sticks, roll_offers, stick_offers
from solver.parts.record import BasketPart, BlankPart, HardwareWant, Part, RailPart
from solver.plan import Screen
from solver.problem import Problem
from solver.purchase.hardware import hardware_wants

Node = int | Hardware
"""A part by its number, or a kind of hardware."""


def coupled(problem: Problem, screens: Sequence[Screen], parts: Sequence[RailPart | BlankPart]) -> tuple[Part, ...]:
    """Return the parts of a job, those that kits, delivery charges or least numbers tie together as baskets.

    Only what has a price takes part: a part or a kind of hardware with one offer
    without a price stays on its own, and so does a kit without a price.

    Parameters
    ----------
    problem
        The job.
    screens
        Its screens.
    parts
        Its rails and blanks, each on its own.
    """
    web = _Web(problem, screens, parts)
    baskets = [web.basket(nodes) for nodes in web.components()]
    if len(baskets) > 1:
        baskets = [replace(basket, name=f"basket {number}") for number, basket in enumerate(baskets, start=1)]
    inside = {id(part) for basket in baskets for part in (*basket.rails, *basket.blanks)}
    return (*(part for part in parts if id(part) not in inside), *baskets)


class _Web:
    """Parts and hardware as nodes, tied by what must be decided for several at once."""

    def __init__(self, problem: Problem, screens: Sequence[Screen], parts: Sequence[RailPart | BlankPart]) -> None:
        self.problem = problem
        self.screens = screens
        self.parts = parts
        self.wants = hardware_wants(problem, screens)
        self.packs: dict[Hardware, list[Pack]] = {}
        for hardware, wanted in self.wants.items():
            packs = [p for p in problem.catalogue.packs if p.hardware is hardware and p.fits in ("", *wanted)]
            if packs and all(pack.price is not None for pack in packs if pack.on_sale):
                self.packs[hardware] = packs
        self.nodes: list[Node] = [n for n, part in enumerate(parts) if _priced(part)]
        self.nodes += list(self.packs)
        self.charging = [supplier for supplier in problem.catalogue.suppliers if supplier.delivery]
        self.kits = {kit.name: nodes for kit in problem.catalogue.kits if (nodes := self._served(kit))}

    def _served(self, kit: Kit) -> list[Node]:
        """Return the nodes that a kit on sale has something for."""
        if not kit.on_sale or kit.limit == 0 or kit.price is None:
            return []
        held = {(content.hardware, content.fits) for content in kit.hardware}
        return [
            node
            for node in self.nodes
            if (
                any((node, fits) in held for fits in ("", *self.wants[node]))
                if isinstance(node, Hardware)
                else _holds_piece(kit, self.parts[node])
            )
        ]

    def components(self) -> Iterator[list[Node]]:
        """Yield the nodes of each basket, in the order of the nodes."""
        leader: dict[Node, Node] = {node: node for node in self.nodes}

        def first(node: Node) -> Node:
            while leader[node] != node:
                node = leader[node]
            return node

        ties = [nodes for nodes in self._ties() if nodes]
        for nodes in ties:
            for node in nodes[1:]:
                one, other = first(nodes[0]), first(node)
                if self.nodes.index(one) > self.nodes.index(other):
                    one, other = other, one
                leader[other] = one
        tied = {first(nodes[0]) for nodes in ties}
        for head in self.nodes:
            if head in tied and first(head) == head:
                yield [node for node in self.nodes if first(node) == head]

    def _ties(self) -> Iterator[list[Node]]:
        """Yield the nodes that each kit, each delivery charge and each least number ties."""
        yield from self.kits.values()
        for supplier in self.charging:
            yield [
                *(node for node in self.nodes if supplier.name in self._suppliers(node)),
                *(
                    node
                    for kit in self.problem.catalogue.kits
                    if kit.supplier == supplier.name
                    for node in self.kits.get(kit.name, [])
                ),
            ]
        for node in self.nodes:
            if not isinstance(node, Hardware) and _least_number(self.parts[node]):
                yield [node]

    def _suppliers(self, node: Node) -> set[str]:
        if isinstance(node, Hardware):
            return {pack.supplier for pack in self.packs[node] if pack.on_sale}
        part = self.parts[node]
        stock = part.sticks if isinstance(part, RailPart) else part.rolls
        return {record.supplier for record in stock if record.on_sale}

    def basket(self, nodes: Iterable[Node]) -> BasketPart:
        """Return the basket of some nodes."""
        inside = set(nodes)
        parts = [part for number, part in enumerate(self.parts) if number in inside]
        rails = tuple(part for part in parts if isinstance(part, RailPart))
        blanks = tuple(part for part in parts if isinstance(part, BlankPart))
        wants = {hardware: wanted for hardware, wanted in self.wants.items() if hardware in inside}
        openings = {run.opening for part in parts for run in part.runs}
        catalogue = self.problem.catalogue
        return BasketPart(
            name="basket",
            rails=rails,
            blanks=blanks,
            wants=tuple(
                HardwareWant(hardware=hardware, fits=fits, amount=amount)
                for hardware, wanted in wants.items()
                for fits, amount in wanted.items()
            ),
            packs=tuple(pack for hardware in wants for pack in self.packs[hardware]),
            kits=tuple(kit for kit in catalogue.kits if inside & set(self.kits.get(kit.name, []))),
            rack=tuple(kit for kit in catalogue.kits if kit.on_hand),
            suppliers=tuple(self.charging),
            screens=tuple(
                screen
                for screen in self.screens
                if screen.opening in openings or any(need.hardware in wants for need in screen.needs)
            ),
        )


def _priced(part: RailPart | BlankPart) -> bool:
    offers = stick_offers(part) if isinstance(part, RailPart) else roll_offers(part)
    return all(offer.price is not None for offer in offers if offer.bought)


def _least_number(part: RailPart | BlankPart) -> bool:
    stock = part.sticks if isinstance(part, RailPart) else part.rolls
    return any(record.minimum > 1 and record.on_sale for record in stock)


def _holds_piece(kit: Kit, part: RailPart | BlankPart) -> bool:
    """Whether a kit has a stick or a piece of mesh for at least one rail or blank of a part."""
    if isinstance(part, RailPart):
        shortest = min(run.length for run in part.runs)
        own = (kit.profile, kit.colour) == (part.profile, part.colour)
        return own and any(stick.usable >= shortest for stick in kit_sticks(kit, part.rules, 1, bought=True))
    narrowest = min(min(run.width, run.height) if part.either_way else run.width for run in part.runs)
    own = kit.mesh is not None and kit.mesh.mesh == part.mesh
    return own and any(piece.usable >= narrowest for piece in kit_mesh(kit, part.rules, 1, bought=True))
