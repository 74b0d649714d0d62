"""Judged cases kept for the next look: judging is a pure function of the pages, so the same pages are judged once."""

import threading
from collections import OrderedDict
from collections.abc import Callable
from typing import Any

from tipward import tasks
from tipward.model import Case, CaseView, LinePicture

MOST_KEPT = 256


class KeptCases:
    """The newest views and pictures of cases, in bounded memory; one thread judges, others of the same case wait."""

    def __init__(self, shop: tasks.Shop) -> None:
        self.shop = shop
        self._kept: OrderedDict[Any, Any] = OrderedDict()
        self._lock = threading.Lock()
        self._busy: dict[Any, threading.Lock] = {}

    def view(self, case_id: str) -> CaseView:
        """A case judged as its pages stand now."""
        return self.see(tasks.read_case(self.shop, case_id))

    def see(self, case: Case) -> CaseView:
        """A case already read, judged."""
        view: CaseView = self._once(("view", tasks.case_mark(self.shop, case)), lambda: tasks.see(self.shop, case))
        return view

    def line(self, view: CaseView, inches: bool) -> LinePicture:
        """The line of a judged case."""
        mark = ("line", inches, tasks.case_mark(self.shop, view.case))
        picture: LinePicture = self._once(mark, lambda: tasks.line_pictures(view, inches))
        return picture

    def _once(self, mark: Any, make: Callable[[], Any]) -> Any:
        with self._lock:
            if mark in self._kept:
                self._kept.move_to_end(mark)
                return self._kept[mark]
            busy = self._busy.setdefault(mark, threading.Lock())
        with busy:
            with self._lock:
                if mark in self._kept:
                    return self._kept[mark]
            made = make()
            with self._lock:
                self._kept[mark] = made
                self._busy.pop(mark, None)
                while len(self._kept) > MOST_KEPT:
                    self._kept.popitem(last=False)
        return made
