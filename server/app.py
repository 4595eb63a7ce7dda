"""The application, joined from its parts: the only place that knows all rooms."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from importlib import import_module
from pkgutil import iter_modules
from typing import Any

from fastapi import FastAPI
from starlette.middleware.body_limit import RequestBodyLimitMiddleware
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

from server import __version__
from server.services.house_rules import shop_of
from server.settings import MAX_BODY, STATIC, Settings
from server.storage.engine import Store, make_engine
from server.storage.files import Files
from server.web import routes
from server.web.api_kit import DESCRIPTION, TAGS
from server.web.errors import add_handlers
from server.web.guard import Guard


class StaticForAWhile(StaticFiles):
    """Static files that a browser keeps for an hour and then asks about."""

    async def get_response(self, path: str, scope: Scope) -> Any:
        """The file, with its time to live."""
        response = await super().get_response(path, scope)
        response.headers["Cache-Control"] = "public, max-age=3600"
        return response


def create_app(settings: Settings, store: Store | None = None) -> FastAPI:
    """The register's application over one data folder."""
    app = FastAPI(
        title="Makegood",
        version=__version__,
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
        description=DESCRIPTION,
        openapi_tags=TAGS,
        lifespan=_lifespan,
    )
    serve(app, settings, store or Store(make_engine(settings.database_url), seal_key=settings.seal_key))
    app.mount("/static", StaticForAWhile(directory=STATIC), name="static")
    for module in sorted(iter_modules(routes.__path__), key=lambda one: one.name):
        router = import_module(f"{routes.__name__}.{module.name}").router
        # the pages are for people; only the API is described for programs
        app.include_router(router, include_in_schema=module.name.startswith("api_"))
    add_handlers(app)
    # what says its size is refused by the guard, on a page; this one counts what does not say it
    app.add_middleware(RequestBodyLimitMiddleware, max_body_size=MAX_BODY)
    app.add_middleware(Guard, behind_tls=settings.secure_cookies, max_body=MAX_BODY)
    return app


def serve(app: FastAPI, settings: Settings, store: Store) -> None:
    """Put a register behind the application: all that a request finds in `app.state`."""
    app.state.settings = settings
    app.state.store = store
    app.state.files = Files(settings.files)
    app.state.shop = lambda: shop_of(store)


@asynccontextmanager
async def _lifespan(app: FastAPI) -> AsyncIterator[None]:
    yield
    app.state.store.close()
