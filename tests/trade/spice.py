"""Circuits as ngspice takes them: an outside solver of the same element laws, for the tests."""

import re
import subprocess

from benchleaf.trade.network_parts import Element

HEAD = "* circuits of the test, each with a prefix of its own\n"
OPTIONS = ".options reltol=1e-9 abstol=1e-9 vntol=1e-9 gmin=1e-20 itl1=2000\n"


def spelled(prefix, network, name):
    """A node as ngspice calls it."""
    return "0" if name == network.ground else f"{prefix}_{name}".lower().replace("-", "_")


def lines(prefix, network, turning=()):
    """The cards of one circuit. Motors turn as they are told to; all else ngspice finds by itself."""

    def node(name):
        return spelled(prefix, network, name)

    made = []
    coils = {each.name: each for each in network.elements if each.kind == "coil"}
    for number, each in enumerate(network.elements):
        made.extend(_card(f"{prefix}_{number}", each, [node(name) for name in each.nodes], coils, node, dict(turning)))
    return made


def _card(name: str, each: Element, nodes, coils, node, turning):
    first, last = nodes[0], nodes[-1]
    if each.broken == "open" or each.kind == "capacitor":
        return
    if each.broken == "short":
        yield f"V{name} {first} {last} 0"
    elif each.kind == "potentiometer":
        yield f"R{name}a {first} {nodes[1]} {each.resistance * each.position!r}"
        yield f"R{name}b {nodes[1]} {last} {each.resistance * (1 - each.position)!r}"
    elif each.kind == "diode":
        over = f"v({first},{last})"
        if last == "0":
            over = f"v({first})"
        elif first == "0":
            over = f"(-v({last}))"
        above = f"({over}-{each.voltage!r})"
        yield f"B{name} {first} {last} I = {above} > 0 ? {above}/{each.resistance!r} : 0"
    elif each.kind == "contact":
        coil = coils[each.coil]
        if coil.broken:
            return
        middle, half = (coil.pulls_in + coil.drops_out) / 2, (coil.pulls_in - coil.drops_out) / 2
        ends = [name if name == "0" else f"v({name})" for name in map(node, coil.nodes)]
        # A coil pulls in whichever way its current runs.
        yield f"Bc{name} c{name} 0 V = abs({ends[0]}-{ends[1]})"
        yield f"S{name} {first} {last} c{name} 0 m{name}"
        yield f".model m{name} sw(vt={middle!r} vh={half!r} ron={each.resistance!r} roff=1e14)"
    elif each.kind == "switch" and not each.closed:
        return
    else:
        voltage = each.voltage * turning.get(each.name, 1 if each.kind == "battery" else 0)
        if not each.resistance:
            yield f"V{name} {first} {last} {voltage!r}"
        elif voltage:
            yield f"V{name} {first} i{name} {voltage!r}"
            yield f"R{name} i{name} {last} {each.resistance!r}"
        else:
            yield f"R{name} {first} {last} {each.resistance!r}"


def voltages(cards, wanted, path):
    """The node voltages that ngspice finds for these cards, in the order asked for."""
    asked = [name for name in wanted if name != "0"]
    prints = "\n".join(f"print v({name})" for name in asked)
    text = f"{HEAD}{chr(10).join(cards)}\n{OPTIONS}.control\nset numdgt=15\nop\n{prints}\n.endc\n.end\n"
    path.write_text(text)
    done = subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, check=False)
    found = dict(re.findall(r"^v\((\S+)\) = (\S+)", done.stdout, flags=re.MULTILINE))
    assert set(found) == set(asked), done.stdout[-2000:] + done.stderr[-2000:]
    return [0.0 if name == "0" else float(found[name]) for name in wanted]
