"""The attacks. Each is a function of the target that returns what it found wrong, a list of sentences; bounded in count and time."""
import json
import random
import re
import threading
import time
from pathlib import Path

from target import body, hear, status

ROOT = Path(__file__).resolve().parents[2]
OPENAPI = json.loads((ROOT / "docs/openapi.json").read_text(encoding="utf-8"))


def expect(found, what, good):
    if not good:
        found.append(what)


def refused(target, request, what, allowed=range(400, 500), last=2):
    """Sends it and wants a refusal, or silence."""
    reply = target.ask(request, last)
    found = []
    expect(found, f"{what}: answered {status(reply)}", status(reply) in allowed or reply == b"")
    leaks(target, reply, found, what)
    return found


def leaks(target, reply, found, what):
    for secret in target.secrets:
        expect(found, f"{what}: a secret came back", secret not in reply)


def together(jobs, most=16):
    """Does the jobs, some at a time."""
    lock, waiting = threading.Lock(), list(jobs)

    def work():
        while True:
            with lock:
                if not waiting:
                    return
                job = waiting.pop()
            try:
                job()
            except OSError:
                pass

    threads = [threading.Thread(target=work) for _ in range(most)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


def held_open(target, count, text, seconds=2.0, first=2, addresses=7):
    """Many connections that send that much and then wait."""
    open_ones = []

    def one(number):
        connection = target.connect(first + number % addresses)
        connection.sendall(text(number))
        open_ones.append(connection)

    together([lambda number=number: one(number) for number in range(count)])
    time.sleep(seconds)
    for connection in open_ones:
        connection.close()
    return []


# --- memory ---------------------------------------------------------------------------------------------------------

def range_reads(target):
    found = []
    whole = body(target.ask(target.head("GET /", "Connection: close")))
    for wanted in ("0-50000", "0-0", "-1", "-50000", "700-", "9000000000-9000000100", "0-18446744073709551615", "-9223372036854775808",
                   "18446744073709551616-", "5-2", "0-9,", "x"):
        for path in ("/", "/page.js", "/api/health"):
            reply = target.ask(target.head(f"GET {path}", f"Range: bytes={wanted}"), 2)
            expect(found, f"bytes={wanted} of {path}: {status(reply)}", status(reply) == 416)
            expect(found, f"bytes={wanted} of {path}: {len(reply)} bytes", len(reply) < 2000 + len(whole))
            leaks(target, reply, found, wanted)
    return found


def many_ranges(target):
    found = []
    for count in (400, 2000):
        reply = target.ask(target.head("GET /", "Range: bytes=" + ",".join(["0-716"] * count)), 2)
        expect(found, f"{count} ranges: {len(reply)} bytes", len(reply) < 4000)
    found += refused(target, target.head("GET /", "If-Range: x", "Range: bytes=0-1"), "If-Range")
    return found


def endless(target, begin, piece):
    """Sends until the other end has had enough; wants that to be soon."""
    found = []
    connection = target.connect(2)
    sent, block = 0, piece * (65536 // len(piece))
    try:
        connection.sendall(begin)
        while sent < 64 << 20:
            connection.sendall(block)
            sent += len(block)
        found.append("64 MB were taken")
    except OSError:
        pass
    connection.close()
    return found


def endless_headers(target):
    return endless(target, target.head("GET /")[:-2], b"X-A: b\r\n")


def endless_header_line(target):
    return endless(target, target.head("GET /")[:-2] + b"X-A: ", b"a")


def endless_request_line(target):
    return endless(target, b"GET /", b"a")


def endless_body(target):
    return endless(target, target.head("POST /api/pair", "Content-Type: application/json", "Content-Length: 9999999999"), b"a")


def endless_chunks(target):
    return endless(target, target.head("POST /api/pair", "Transfer-Encoding: chunked"), b"5\r\naaaaa\r\n")


def large_heads_held(target):
    """As much of a head as is kept, on many connections, never finished."""
    return held_open(target, 300, lambda _: target.head("GET /")[:-2] + b"a: b\r\n" * 2600)


# --- bodies ---------------------------------------------------------------------------------------------------------

def bodies_without_length(target):
    found = []
    for path in ("/api/pair", "/api/compose", "/"):
        found += refused(target, target.head(f"POST {path}"), f"POST {path} without a length")
        for value in ("-1", "+1", "0x10", "1,1", "1 1", "", " ", "99999999999999999999", "9223372036854775807", "1e3", "262145"):
            found += refused(target, target.head(f"POST {path}", f"Content-Length: {value}"), f"Content-Length {value!r}")
    return found


def smuggling(target):
    """Two requests in one, as another reader might see it: one answer, and none to the hidden one."""
    found = []
    hidden = target.head("GET /api/health")
    size = len(hidden)
    for fields in ([f"Content-Length: {size}", "Transfer-Encoding: chunked"], ["Transfer-Encoding: chunked", f"Content-Length: {size}"],
                   ["Content-Length: 0", f"Content-Length: {size}"], ["Transfer-Encoding: xchunked"], ["Transfer-Encoding : chunked"],
                   ["Transfer-Encoding: chunked", "Transfer-Encoding: identity"], ["Transfer-Encoding:\tchunked"],
                   [" Transfer-Encoding: chunked"], ["X: y\nTransfer-Encoding: chunked"], [f"Content-Length: 0{size}x"],
                   ["Content-Length: 4", f"content-length: {size}"], ["Connection: Content-Length", "Content-Length: x"]):
        reply = target.ask(target.head("POST /api/pair", *fields) + b"0\r\n\r\n" + hidden, 2, 3)
        expect(found, f"{fields}: the hidden request was answered", b'"well"' not in reply)
    return found


def slow_bodies(target):
    return held_open(target, 300, lambda n: target.head("POST /api/pair", "Content-Type: application/json", "Content-Length: 4000") + b"{" * (n % 3999))


# --- time -----------------------------------------------------------------------------------------------------------

def slow_heads(target):
    """A byte now and then, on many connections, for a few seconds."""
    connections = []
    together([lambda number=number: connections.append(target.connect(2 + number % 7)) for number in range(200)])
    end = time.monotonic() + 4
    while time.monotonic() < end:
        for connection in connections:
            try:
                connection.sendall(b"G")
            except OSError:
                pass
        time.sleep(0.2)
    for connection in connections:
        connection.close()
    return []


def slow_loris_is_shown_out(target):
    """One that keeps dripping is gone within its time, and a little."""
    connection = target.connect(2)
    began = time.monotonic()
    try:
        while time.monotonic() - began < 20:
            connection.sendall(b"a")
            time.sleep(0.25)
    except OSError:
        return []
    finally:
        connection.close()
    return ["still there after 20 s of dripping"]


def slow_readers(target):
    """Ask for the largest file, over and over in one connection, and read nothing."""
    return held_open(target, 120, lambda _: target.head("GET /page.js") * 20)


def forty_slow(target):
    return held_open(target, 40, lambda _: b"GET / HTTP/1.1\r\n")


def three_hundred_slow(target):
    return held_open(target, 300, lambda _: b"GET / HTTP/1.1\r\n", first=2, addresses=200)


def slow_from_our_own_address(target):
    return held_open(target, 300, lambda _: b"GET / HTTP/1.1\r\n", first=1, addresses=1)


def a_thousand_arrivals(target):
    def one(number):
        target.raw(2 + number % 3).close()
    together([lambda number=number: one(number) for number in range(1000)])
    return []


def a_thousand_requests(target):
    together([lambda: target.ask(target.head("GET /", "Connection: close"), 2) for _ in range(1000)])
    return []


def left_after_asking(target):
    """Ask and go, without hearing the answer."""
    def one():
        connection = target.connect(3)
        connection.sendall(target.head("GET /page.js"))
        connection.close()
    together([one for _ in range(300)])
    return []


def listeners_unpaired(target):
    found = []
    for _ in range(50):
        found += refused(target, target.head("GET /api/changes"), "a listener who is not paired")
    return found


# --- shapes ---------------------------------------------------------------------------------------------------------

def unknown_methods(target):
    found = []
    for method in ("PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT", "TRACK", "PROPFIND", "BREW", "get", "G\u00cbT", "A" * 5000, ""):
        for path in ("/", "/api/health", "/api/gyles"):
            found += refused(target, target.head(f"{method} {path}"), f"{method[:20]} {path}")
    return found


def strange_targets(target):
    found = []
    for path in ("http://127.0.0.1/api/health", f"http://{target.host()}/api/gyles", "*", "//api/gyles", "/../../etc/passwd",
                 "/..%2f..%2f..%2fetc%2fpasswd", "/%2e%2e/%2e%2e/etc/passwd", "/....//....//etc/passwd", "/api/schema/..%2fopenapi.json",
                 "/api/schema/%2e%2e%2f%2e%2e%2f%2e%2e%2fetc%2fpasswd", "/api/schema/....", "/\\..\\..\\x", "/page.js%00.html", "/%00",
                 "/api/health%00", "/%", "/%1", "/%gg", "/" + "a" * 9000, "/" + "%61" * 3000, "/?" + "&" * 2000 + "=x", "/a%0d%0aX-Y: z",
                 "/a%0d%0a%0d%0ainjected", "/#/api/gyles", "/;/api/gyles", "/api/./gyles", "/api/x/../gyles", "/API/GYLES/"):
        reply = target.ask(target.head(f"GET {path}", "Connection: close"), 60)
        expect(found, f"{path[:60]}: {status(reply)}", status(reply) >= 400 or path.startswith("/?"))
        expect(found, f"{path[:60]}: a header was put in", b"X-Y" not in reply and b"root:" not in reply)
        leaks(target, reply, found, path[:60])
    return found


def strange_fields(target):
    found = []
    for field in ("X\0Y: z", "X: a\0b", "X: a\rb", "X: a\nb: c", ": x", "X Y: z", "X", "X: \x7f", "\u00cb: x", "Expect: 100-continue",
                  "Upgrade: h2c", "Upgrade: websocket", "Trailer: X", "Content-Encoding: gzip", "Content-Range: bytes 0-1/2",
                  "Host: evil.example", "Host: a\r\nHost: b", "\r\n".join(f"A{n}: x" for n in range(150)), "X: " + "y" * 20000):
        found += refused(target, target.head("GET /api/health", field), f"{field[:30]!r}")
    for host in ("evil.example", "127.0.0.1.evil.example", "127.0.0.1:1", "", "[::1", "localhost\u00ad"):
        request = f"GET / HTTP/1.1\r\nHost: {host}\r\n\r\n".encode()
        found += refused(target, request, f"Host {host}")
    found += refused(target, b"GET / HTTP/1.1\r\n\r\n", "no Host")
    for version in ("HTTP/0.9", "HTTP/2.0", "HTTP/9.9", "HTTP/1.1x", "XTTP/1.1", ""):
        found += refused(target, f"GET / {version}\r\nHost: {target.host()}\r\n\r\n".encode(), f"version {version}")
    return found


def foreign_pages(target):
    found = []
    for field in ("Origin: http://evil.example", "Origin: null", "Origin: http://127.0.0.1", "Sec-Fetch-Site: cross-site", "Sec-Fetch-Site: same-site"):
        request = target.head("POST /api/pair", field, "Content-Type: application/json", "Content-Length: 2") + b"{}"
        found += refused(target, request, field)
    return found


def garbage(target):
    chance = random.Random(20261201)
    def one(number):
        noise = bytes(chance.randrange(256) for _ in range(chance.randrange(1, 3000)))
        good = target.head("GET /api/health", "Connection: close")
        place = chance.randrange(len(good))
        target.ask(noise + b"\r\n\r\n" if number % 2 else good[:place] + noise[:3] + good[place:], 2 + number % 5, 0.5)
    together([lambda number=number: one(number) for number in range(200)])
    return []


# --- TLS ------------------------------------------------------------------------------------------------------------

def tls_garbage(target):
    chance = random.Random(7)
    hello = bytes.fromhex("16030100050100000100")
    for number in range(150):
        with target.raw(2 + number % 5, 2) as connection:
            noise = bytes(chance.randrange(256) for _ in range(chance.randrange(1, 2000)))
            connection.sendall(noise if number % 3 else hello + noise)
    return []


def plain_http_at_tls(target):
    found = []
    for _ in range(50):
        with target.raw(2, 2) as connection:
            connection.sendall(target.head("GET /api/health"))
            expect(found, "plain HTTP got an answer at the TLS port", b"well" not in hear(connection, 4096))
    return found


def half_handshakes(target):
    """Connections that never finish, or never begin, to shake hands."""
    open_ones = []
    for number in range(300):
        connection = target.raw(2 + number % 7)
        connection.sendall(bytes.fromhex("1603010200") if number % 2 else b"")
        open_ones.append(connection)
    time.sleep(2)
    for connection in open_ones:
        connection.close()
    return []


def handshake_flood(target):
    together([lambda number=number: target.connect(2 + number % 3, 2).close() for number in range(400)], most=8)
    return []


# --- unpaired -------------------------------------------------------------------------------------------------------

def every_route_unpaired(target):
    """Nothing but what the API description opens to everybody is answered; whatever the caller says of himself."""
    found, asked = [], 0
    for path, methods in OPENAPI["paths"].items():
        for method, operation in methods.items():
            if operation.get("security") == []:
                continue
            for concrete in (re.sub(r"\{\w+\}", "x", path), re.sub(r"\{\w+\}", "hush-hush-ale", path)):
                for extra in ([], ["Cookie: oddgrist_device=" + "0" * 64], ["Cookie: oddgrist_device="], ["X-Forwarded-For: 127.0.0.1"],
                              ["Authorization: Basic YWRtaW46YWRtaW4="], ["X-Original-URL: /api/health"], ["X-HTTP-Method-Override: GET"]):
                    fields = ["Content-Type: application/json", "Content-Length: 2", "Connection: close", *extra]
                    request = target.head(f"{method.upper()} {concrete}", *(fields if method == "post" else fields[2:]))
                    reply = target.ask(request + (b"{}" if method == "post" else b""), 130 + asked % 120)
                    asked += 1
                    expect(found, f"{method} {concrete} {extra}: {status(reply)}", status(reply) == 401)
                    leaks(target, reply, found, path)
    for path in OPENAPI["paths"]:
        if path not in ("/api/health", "/api/pair"):
            reply = target.ask(target.head("HEAD " + re.sub(r"\{\w+\}", "x", path), "Connection: close"), 3)
            expect(found, f"HEAD {path}: {status(reply)}", status(reply) in (401, 405))
    expect(found, f"only {asked} were asked", asked > 150)
    return found


def pair(target, said, last):
    text = json.dumps(said).encode()
    return target.ask(target.head("POST /api/pair", "Content-Type: application/json", f"Content-Length: {len(text)}", "Connection: close") + text, last)


def pairing_guesses(target):
    """One device, then many, guess codes as fast as they can: few guesses are looked at, and the terminal stays quiet."""
    found, looked_at = [], []
    before = len(target.said())
    chance = random.Random(3)

    def guess(last):
        code = "".join(chance.choice("23456789ABCDEFGHJKMNPQRSTVWXYZ") for _ in range(6))
        reply = pair(target, {"code": code}, last)
        if status(reply) == 403:
            looked_at.append(last)
        expect(found, f"a guess was answered {status(reply)}", status(reply) in (403, 429, 0))

    together([lambda: guess(2) for _ in range(200)])
    expect(found, f"one device had {len(looked_at)} guesses looked at", len(looked_at) <= 8)
    together([lambda number=number: guess(3 + number) for number in range(400)])
    expect(found, f"many devices had {len(looked_at)} guesses looked at", len(looked_at) <= 40)
    more = target.said()[before:]
    expect(found, f"the terminal was told {len(more)} bytes", len(more) < 1000)
    return found


def link_guesses(target):
    found = []
    before = len(target.said())
    for number in range(100):
        reply = pair(target, {"link": "A" * (number % 40)}, 2 + number % 50)
        expect(found, f"a wrong link was answered {status(reply)}", status(reply) in (400, 403, 429))
    expect(found, "wrong links were told to the terminal", len(target.said()) == before)
    return found


def strange_pairings(target):
    found = []
    for said in ([], {}, {"code": 7}, {"code": None}, {"code": []}, {"code": "x" * 3000}, {"link": 1}, {"link": ""}, {"code": ""}, {"link": "x", "code": "y"},
                 {"code": "\u0000"}, {"code": "A", "name": 7}, {"code": "A", "name": "\u001b[2J" * 20}, "x", None, 1e308):
        reply = pair(target, said, 40)
        expect(found, f"{str(said)[:40]}: {status(reply)}", status(reply) in (400, 403, 429))
    expect(found, "an escape reached the terminal", b"\x1b" not in target.said())
    return found


def no_lock_out(target):
    """After all the guessing the right link still pairs: whoever stands at the terminal is not locked out."""
    if not target.link:
        return ["the program shows no link"]
    reply = pair(target, {"link": target.link, "name": "honest"}, 90)
    return [] if status(reply) == 200 else [f"the right link was answered {status(reply)}"]


# --- whoever is let in ----------------------------------------------------------------------------------------------

def post(target, path, text, kind="application/json", last=1, patience=20):
    fields = [f"Content-Type: {kind}", f"Content-Length: {len(text)}", "Connection: close"]
    return target.ask(target.head(f"POST {path}", *fields) + text, last, patience)


def deep_texts(target):
    found = []
    texts = [("application/toml", text.encode()) for text in (
        ".".join(["a"] * 40000) + " = 1\n", "[" + ".".join(["a"] * 40000) + "]\n", "a = " + "[" * 40000 + "]" * 40000 + "\n",
        "a = " + "{b=" * 20000 + "1" + "}" * 20000 + "\n", "".join(f"[[a{'.a' * (n % 90)}]]\n" for n in range(2000)), '"' * 100000, "a = 1e999\n" * 5000,
        "a = " + "9" * 100000 + "\n")]
    texts += [("application/json", text.encode()) for text in ("[" * 100000, '{"a":' * 40000, "[" * 60000 + "]" * 60000, "1" * 200000, '"' + "\\u0000" * 30000 + '"')]
    for kind, text in texts:
        for path in ("/api/compose", "/api/brief/text", "/api/packet"):
            reply = post(target, path, text, kind)
            expect(found, f"{text[:20]!r} at {path}: {status(reply)}", 400 <= status(reply) < 500)
    return found


def strange_numbers(target):
    found = []
    for number in ("1e-200 g", "1e400 g", "-1e-320 g", "nan g", "inf g", "1" * 5000 + " g", "0x1p-1074 g"):
        brief = {"want": {"volume": "5 L"}, "given": [{"item": "honey", "amount": number}], "have": [{"item": "pale ale malt"}, {"item": "neutral ale yeast"}]}
        reply = post(target, "/api/compose", json.dumps(brief).encode())
        expect(found, f"{number[:20]}: {status(reply)}", status(reply) in (200, 400, 422))
    return found


def slow_bodies_let_in(target):
    return held_open(target, 250, lambda _: target.head("POST /api/compose", "Content-Type: application/json", "Content-Length: 262144") + b" " * 200000,
                     first=1, addresses=1)


def slow_readers_let_in(target):
    return held_open(target, 250, lambda _: target.head("GET /api/openapi.json") * 5 + target.head("GET /api/larder?limit=100") * 10, first=2, addresses=7)  # whoever asks too often is told 429, and so would be the watcher beside it


def listeners_let_in(target):
    """Far more streams than there is room for."""
    return held_open(target, 400, lambda _: target.head("GET /api/changes"), first=1, addresses=1)


def work_let_in(target):
    """As much work as one may ask for at once."""
    brief = (ROOT / "examples/saltmarsh-round.toml").read_bytes()
    together([lambda: post(target, "/api/compose", brief, "application/toml", 1, 30) for _ in range(120)], most=40)
    return []


MEMORY = [range_reads, many_ranges, endless_headers, endless_header_line, endless_request_line, endless_body, endless_chunks, large_heads_held]
TIME = [slow_bodies, slow_heads, slow_loris_is_shown_out, slow_readers, forty_slow, three_hundred_slow, slow_from_our_own_address,
        a_thousand_arrivals, a_thousand_requests, left_after_asking]
SHAPES = [bodies_without_length, smuggling, unknown_methods, strange_targets, strange_fields, foreign_pages, garbage]
STRANGER = [listeners_unpaired, every_route_unpaired, strange_pairings, link_guesses, pairing_guesses, no_lock_out]
TLS = [tls_garbage, plain_http_at_tls, half_handshakes, handshake_flood]
LET_IN = [deep_texts, strange_numbers, slow_bodies_let_in, slow_readers_let_in, listeners_let_in, work_let_in]
