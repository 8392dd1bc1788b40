"""The preview's pages over HTTP: nothing is served but what a session makes, and only to those who name this host."""

import asyncio
from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from pathlib import Path

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.middleware import Middleware
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.requests import Request
from starlette.responses import HTMLResponse, PlainTextResponse, Response, StreamingResponse
from starlette.routing import Route
from watchfiles import awatch

from benchleaf.base.finding import Finding
from benchleaf.base.resources import table_text
from benchleaf.edge.preview.session import VIEWS, Look, Session
from benchleaf.edge.report import place
from benchleaf.model.identifiers import is_identifier
from benchleaf.render import preview
from benchleaf.render.theme import Theme
from benchleaf.source.text import Unreadable

# A burst of saves is one change; an editor that writes a file in pieces is done within this time.
_SETTLE_MS, _STEP_MS = 60, 20
_SHELL = (
    "default-src 'none'; script-src 'self'; style-src 'unsafe-inline'; connect-src 'self'; frame-src 'self'; "
    "font-src data:"
)
_PAPER = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:"


class Preview:
    """The application's handlers round one session."""

    def __init__(self, session: Session, theme: Theme, sources: Path) -> None:
        """Watches `sources` as long as the application runs."""
        self._session, self._theme, self._sources = session, theme, sources
        self._news = asyncio.Condition()
        self._over = asyncio.Event()

    def application(self, hosts: Sequence[str]) -> Starlette:
        """The application; requests that name another host than these are refused (DNS rebinding)."""
        return Starlette(
            routes=[
                Route("/", self.overview),
                Route("/preview.js", self.script),
                Route("/events", self.events),
                Route("/{machine}/{name}", self.procedure),
                Route("/{machine}/{name}/{place:int}/{view}", self.document),
            ],
            middleware=[Middleware(TrustedHostMiddleware, allowed_hosts=list(hosts), www_redirect=False)],
            lifespan=self._lifespan,
        )

    @asynccontextmanager
    async def _lifespan(self, _: Starlette) -> AsyncIterator[None]:
        watching = asyncio.create_task(self._watch())
        try:
            yield
        finally:
            await self.end()
            watching.cancel()

    async def end(self) -> None:
        """Let go of every page that waits for news."""
        self._over.set()
        async with self._news:
            self._news.notify_all()

    async def _watch(self) -> None:
        async for _ in awatch(self._sources, debounce=_SETTLE_MS, step=_STEP_MS, stop_event=self._over):
            self._session.changed()
            async with self._news:
                self._news.notify_all()

    async def events(self, _: Request) -> Response:
        """Tells a page whenever something has changed."""

        async def told() -> AsyncIterator[str]:
            known = self._session.version
            yield f"data: {known}\n\n"
            while not self._over.is_set():
                known = await self._after(known)
                yield f"data: {known}\n\n"

        return StreamingResponse(told(), media_type="text/event-stream", headers={"Cache-Control": "no-store"})

    async def _after(self, known: int) -> int:
        """The version that follows the known one, once there is one or all is over."""
        async with self._news:
            await self._news.wait_for(lambda: self._session.version != known or self._over.is_set())
        return self._session.version

    async def script(self, _: Request) -> Response:
        """The script that fetches the page anew when it is told."""
        return Response(
            table_text("edge", "preview/preview.js"), media_type="text/javascript", headers=_headers(_SHELL)
        )

    async def overview(self, _: Request) -> Response:
        """All procedures."""
        try:
            standings = await run_in_threadpool(self._session.standings)
        except Unreadable as error:
            return HTMLResponse(preview.overview(self._theme, (), f"{error}."), headers=_headers(_SHELL))
        rows = (preview.Row(f"/{one.machine}/{one.id}", f"{one.machine}/{one.id}", one.by) for one in standings)
        return HTMLResponse(preview.overview(self._theme, rows), headers=_headers(_SHELL))

    async def procedure(self, request: Request) -> Response:
        """One procedure: its findings, and frames for its documents."""
        look = await self._look(request)
        if look is None or (look.trouble and not look.variants):
            words = look.trouble if look else "There is no such page."
            page = preview.look(self._theme, "Nothing to show", (), (), old=False, trouble=words)
            return HTMLResponse(page, status_code=404, headers=_headers(_SHELL))
        here = "/".join(look.key)
        frames = [
            preview.Frame(view, f"/{here}/{place}/{view}?{variant.digest(view)}", variant.label)
            for place, variant in enumerate(look.variants)
            for view in variant.pages
        ]
        steps = {id(finding): key for key, findings in look.marks.items() for finding in findings}
        numbers = look.variants[0].numbers if look.variants else {}
        told = [_told(finding, look, numbers.get(steps.get(id(finding), ""), 0)) for finding in look.findings]
        page = preview.look(self._theme, look.title, told, frames, old=look.old, trouble=look.trouble)
        return HTMLResponse(page, headers=_headers(_SHELL))

    async def document(self, request: Request) -> Response:
        """A document of a procedure as it last could be made."""
        look, view, number = await self._look(request), request.path_params["view"], request.path_params["place"]
        if look is None or view not in VIEWS or number >= len(look.variants) or view not in look.variants[number].pages:
            return PlainTextResponse("There is no such page.", status_code=404)
        page = look.variants[number].pages[view]
        if view == "trace":
            return PlainTextResponse(page, headers=_headers(_PAPER))
        # The checklist brings a policy of its own.
        return HTMLResponse(page, headers=_headers("" if view == "checklist" else _PAPER))

    async def _look(self, request: Request) -> Look | None:
        key = request.path_params["machine"], request.path_params["name"]
        return await run_in_threadpool(self._session.look, key) if all(map(is_identifier, key)) else None


def _headers(policy: str) -> dict[str, str]:
    plain = {"Cache-Control": "no-store", "X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer"}
    return plain | ({"Content-Security-Policy": policy} if policy else {})


def _told(finding: Finding, look: Look, step: int) -> preview.Told:
    span, lines = finding.span, look.lines.get(finding.span.file, ())
    line = lines[span.line - 1] if 1 <= span.line <= len(lines) else ""
    end = span.end_column - 1 if span.end_line == span.line else len(line)
    cut = (line[: span.column - 1], line[span.column - 1 : end], line[end:])
    return preview.Told(
        finding.severity.value, place(span), finding.sentence, cut, finding.why, finding.mend, finding.slug, step
    )
