"""What the accessibility rules of axe-core complain about in a page."""

from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Page

RULES = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa")
# What a look can change: nothing but colours.
COLOURS = ("color-contrast",)
RUN = """async options => {
    const found = await axe.run(document, { resultTypes: ["violations"], ...options });
    return found.violations.map(each => `${each.id}: ${each.nodes[0].html.slice(0, 120)}`);
}"""


def barriers(page: Page, rules: tuple[str, ...] = RULES, **options: object) -> list[str]:
    """Each rule that is broken, with the first node that breaks it; `rules` are tags, or `COLOURS`.

    The rules stay in the page, so that further runs need not bring them again.
    """
    if not page.evaluate("Boolean(window.axe)"):
        page.evaluate(AXE_SCRIPT)
    kind = "rule" if rules == COLOURS else "tag"
    return page.evaluate(RUN, {"runOnly": {"type": kind, "values": list(rules)}, **options})
