"""``tipward serve``: refuses the network without an account, makes the first one, and really serves."""

import re
import socket
import subprocess
import sys
import time
import urllib.request

import pytest
from click.testing import CliRunner

from tipward import tasks
from tipward.cli.serve import command
from tipward.foundation import InputError


@pytest.fixture
def book(tmp_path):
    return str(tmp_path / "book.db")


def test_lan_without_an_account_refuses_before_it_listens(book):
    told = CliRunner().invoke(command, ["--casebook", book, "--lan", "--port", "0"])
    assert isinstance(told.exception, InputError)
    assert "make the first one with: tipward serve --add-account NAME" in str(told.exception)


def test_the_first_account_is_an_owner_and_the_next_a_technician(book):
    for name in ("Alex", "Sam"):
        typed = "a long pass phrase\n" * 2
        told = CliRunner().invoke(command, ["--casebook", book, "--add-account", name], input=typed)
        assert told.exit_code == 0 and "a long pass phrase" not in told.output, told.output
    roles = {one.name: one.role for one in tasks.list_accounts(tasks.open_shop(book))}
    assert roles == {"alex": "owner", "sam": "technician"}


def test_a_short_password_is_refused(book):
    told = CliRunner().invoke(command, ["--casebook", book, "--add-account", "Alex"], input="short\nshort\n")
    assert isinstance(told.exception, InputError) and "10 to 200" in str(told.exception)
    assert tasks.list_accounts(tasks.open_shop(book)) == ()


def test_it_serves_this_machine_until_it_is_ended(book):
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    call = [sys.executable, "-m", "tipward", "serve", "--casebook", book, "--port", str(port)]
    server = subprocess.Popen(call, stdout=subprocess.PIPE, text=True)
    try:
        assert re.search(rf"127\.0\.0\.1:{port}", server.stdout.readline())
        assert "No case yet" in first_page(f"http://127.0.0.1:{port}/")
    finally:
        server.terminate()
        server.stdout.close()
        assert server.wait(15) in {0, -15}


def first_page(url):
    until = time.monotonic() + 30
    while True:
        try:
            with urllib.request.urlopen(url, timeout=10) as answer:
                return answer.read().decode()
        except OSError:
            if time.monotonic() > until:
                raise
            time.sleep(0.05)
