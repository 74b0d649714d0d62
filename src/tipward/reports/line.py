"""The line: the feed path drawn to scale from spool to arc, forces above the wire, suspicion below."""

from collections.abc import Mapping
from pathlib import Path
from xml.sax.saxutils import escape

from tipward.model import FeedPath, ForceBudget
from tipward.reports.drawing import clean, number, tag
from tipward.reports.scene import description, scene
from tipward.reports.upright import upright as standing
from tipward.reports.wide import wide as lying

LINE_CSS = (Path(__file__).parent / "line.css").read_text("utf-8")


def line_svg(
    path: FeedPath,
    budget: ForceBudget | None = None,
    suspicions: Mapping[str, float] | None = None,
    upright: bool = False,
    inches: bool = False,
    standalone: bool = False,
    font_family: str | None = None,
) -> str:
    """Draw the line of a feed path as one SVG element, the same for the same input.

    Parameters
    ----------
    path : FeedPath
        The path; what is unknown is drawn as usual.
    budget : ForceBudget or None
        Forces and limits [N]; None draws the path alone.
    suspicions : Mapping of str to float, or None
        Station → probability that something is wrong there [1]; None leaves suspicion out.
    upright : bool
        Standing, for a phone, instead of lying.
    inches : bool
        Inches and pounds-force.
    standalone : bool
        With its own stylesheet, for a file; in a page the stylesheet is ``LINE_CSS`` and none is embedded.
    font_family : str or None
        Font of the text; None takes that of the page.

    Returns
    -------
    str
        SVG with title and description; no style attribute and no script.

    Raises
    ------
    RangeError
        A suspicion outside 0 to 1.

    Source: design (docs/explanation/the-line.md).

    >>> line_svg(FeedPath()).startswith('<svg xmlns="http://www.w3.org/2000/svg"')
    True
    """
    view = scene(path, budget, suspicions, inches)
    drawn, width, height = (standing if upright else lying)(view)
    kind = "upright" if upright else "wide"
    head = f'<title id="tw-line-{kind}-title">The line</title>'
    head += f'<desc id="tw-line-{kind}-desc">{escape(clean(description(view)))}</desc>'
    return tag(
        "svg",
        head + (f"<style>{LINE_CSS}</style>" if standalone else "") + drawn,
        xmlns="http://www.w3.org/2000/svg",
        klass=f"tw-line tw-line--{kind}",
        viewBox=f"0 0 {number(width)} {number(height)}",
        role="img",
        aria_labelledby=f"tw-line-{kind}-title tw-line-{kind}-desc",
        font_family=font_family or ("system-ui, sans-serif" if standalone else None),
    )
