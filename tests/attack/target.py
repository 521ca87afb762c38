"""The program under attack: started on loopback with a store, a device folder and, if wanted, a certificate of its own; watched
throughout by another process that asks for its health; and a client of nothing but bytes to attack it with."""
import json
import multiprocessing
import re
import socket
import ssl
import subprocess
import time
from pathlib import Path

SECRET_NAME = "hush-hush-ale"  # of a gyle in the store: nobody unpaired may ever read it
MOST_RESIDENT_KB = 64 * 1024
LONGEST_HEALTH_S = 1.0


def make_certificate(folder):
    subprocess.run(
        ["openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-nodes", "-days", "1", "-subj", "/CN=127.0.0.1",
         "-addext", "subjectAltName=IP:127.0.0.1", "-keyout", folder / "key.pem", "-out", folder / "chain.pem"],
        check=True, capture_output=True)


class Target:
    """One running `oddgrist serve`. `ask_codes`: this machine too counts as a stranger until it is paired."""

    def __init__(self, binary, folder, secure, ask_codes):
        self.secure = secure
        self.folder = folder
        self.errors = open(folder / "errors.txt", "w+b")
        command = [binary, "serve", "--port", "0", "--json", "--state", folder / "state", "--store", folder / "store.db"]
        if ask_codes:
            command.append("--pair-all")
        if secure:
            make_certificate(folder)
            command += ["--cert", folder / "chain.pem", "--key", folder / "key.pem"]
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=self.errors)
        greeting = json.loads(self.process.stdout.readline())
        self.port = int(re.search(r":(\d+)/", greeting["addresses"][0]).group(1))
        self.code = greeting.get("pairing_code", "")
        self.link = greeting.get("pairing_link", "")
        self.secrets = [SECRET_NAME.encode(), b"PRIVATE KEY"]
        self.secrets += [greeting[name].encode() for name in ("pairing_code", "pairing_link") if greeting.get(name)]
        if secure:
            key = (folder / "key.pem").read_text().splitlines()
            self.secrets += [line.encode() for line in key[1:-1] if len(line) > 20]
        self.health = multiprocessing.Value("d", 0.0)
        self.failed = multiprocessing.Value("i", 0)
        self.watcher = multiprocessing.Process(target=self.watch, daemon=True)
        self.watcher.start()

    def host(self):
        return f"127.0.0.1:{self.port}"

    def watch(self):
        """Runs beside: asks for the health over and over, from this machine's own address, and keeps the longest it took."""
        while True:
            began = time.monotonic()
            try:
                good = b"200 OK" in self.ask(self.head("GET /api/health", "Connection: close"), patience=10)
            except OSError:
                good = False
            with self.health.get_lock():
                self.health.value = max(self.health.value, time.monotonic() - began)
            if not good:
                self.failed.value += 1
            time.sleep(0.05)

    def head(self, line, *fields):
        return "\r\n".join([f"{line} HTTP/1.1", f"Host: {self.host()}", *fields, "", ""]).encode()

    def raw(self, last=1, patience=5.0):
        """A TCP connection from 127.0.(last / 256).(last % 256)."""
        return socket.create_connection(("127.0.0.1", self.port), patience, (f"127.0.{last // 256}.{last % 256}", 0))

    def connect(self, last=1, patience=5.0):
        """The same, and TLS upon it where the target speaks it."""
        connection = self.raw(last, patience)
        if not self.secure:
            return connection
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
        context.check_hostname = False
        context.verify_mode = ssl.CERT_NONE
        return context.wrap_socket(connection, suppress_ragged_eofs=True)

    def ask(self, text, last=1, patience=5.0):
        """Sends the text and returns whatever comes until the other end closes."""
        with self.connect(last, patience) as connection:
            try:
                connection.sendall(text)
            except OSError:
                pass  # refused before it was all sent: the answer may be there all the same
            return hear(connection)

    def resident_kb(self, which="VmRSS"):
        status = Path(f"/proc/{self.process.pid}/status").read_text()
        found = re.search(rf"{which}:\s+(\d+)", status)
        return int(found.group(1)) if found else 0  # 0: it has just ended

    def holes(self):
        """What is wrong with the program since the last time."""
        found = []
        time.sleep(0.1)  # for one who has just been killed to be seen dead
        if self.process.poll() is not None:
            return [f"the program ended with {self.process.returncode}"]
        with self.health.get_lock():
            slowest, self.health.value = self.health.value, 0.0
        if slowest > LONGEST_HEALTH_S:
            found.append(f"health took {slowest:.2f} s")
        if self.failed.value:
            found.append(f"health was not answered {self.failed.value} times")
            self.failed.value = 0
        if (most := self.resident_kb("VmHWM")) > MOST_RESIDENT_KB:
            found.append(f"{most} kB of memory")
        return found

    def said(self):
        self.errors.flush()
        return Path(self.errors.name).read_bytes()

    def end(self):
        """Ctrl-C; returns what is wrong with how it ended."""
        self.watcher.terminate()
        self.watcher.join()
        self.process.terminate()
        try:
            code = self.process.wait(15)
        except subprocess.TimeoutExpired:
            self.process.kill()
            return ["it did not end within 15 s"]
        return [] if code == 0 else [f"it ended with {code}"]


def hear(connection, most=4 << 20):
    heard = b""
    try:
        while len(heard) < most and (piece := connection.recv(65536)):
            heard += piece
    except OSError:
        pass
    return heard


def status(reply):
    return int(reply[9:12]) if reply[:9] in (b"HTTP/1.1 ", b"HTTP/1.0 ") and reply[9:12].isdigit() else 0


def body(reply):
    return reply.partition(b"\r\n\r\n")[2]

