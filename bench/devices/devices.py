#!/usr/bin/env python3
"""devices.py PORT CODE LOG TOKENS GYLE: 200 devices of one server, each from an address of its own (127.0.1.1 to 127.0.1.200).

Pairs each with the code the server shows (the first is CODE, each next one a line in LOG, the server's standard error) and writes their
tokens into TOKENS, one a line. Then each opens the stream of changes. Reads orders from standard input, a line each:
  write   writes a reading into GYLE and says how many of the streams heard of it, and how long until the first and the last did
Says `listening N` when the streams are open. Ends at the end of the input."""
import asyncio
import http.client
import json
import re
import sys
import time

DEVICES = 200
PATIENCE_S = 20


def address_of(device):
    return f"127.0.1.{device + 1}"


def post(port, device, path, body, token=None):
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE_S, source_address=(address_of(device), 0))
    headers = {"Content-Type": "application/json"}
    if token:
        headers["Cookie"] = f"oddgrist_device={token}"
    connection.request("POST", path, json.dumps(body), headers)
    reply = connection.getresponse()
    text = reply.read().decode()
    if reply.status != 200:
        sys.exit(f"devices.py: POST {path} from device {device}: {reply.status} {text}")
    return reply


def code_after(log, count):
    """The code shown after `count` pairings."""
    end = time.monotonic() + PATIENCE_S
    while time.monotonic() < end:
        codes = re.findall(r"next device is now (\w+)\n", open(log, encoding="utf-8").read())
        if len(codes) >= count:
            return codes[count - 1]
        time.sleep(0.002)
    sys.exit(f"devices.py: no code number {count} in {log}")


def pair_all(port, code, log):
    tokens = []
    for device in range(DEVICES):
        cookie = post(port, device, "/api/pair", {"code": code, "name": f"device {device}"}).getheader("Set-Cookie")
        tokens.append(re.match(r"oddgrist_device=(\w+)", cookie).group(1))
        if device + 1 < DEVICES:
            code = code_after(log, device + 1)
    return tokens


async def open_stream(port, device, token):
    reader, writer = await asyncio.open_connection("127.0.0.1", port, local_addr=(address_of(device), 0))
    writer.write(f"GET /api/changes HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nCookie: oddgrist_device={token}\r\n\r\n".encode())
    head = await asyncio.wait_for(reader.readuntil(b"\r\n\r\n"), PATIENCE_S)
    if not head.startswith(b"HTTP/1.1 200 "):
        writer.close()
        return None
    await asyncio.wait_for(reader.readuntil(b"retry: 2000\n\n"), PATIENCE_S)
    return reader, writer


async def heard_at(reader):
    await reader.readuntil(b"event: change\n")
    return time.monotonic()


async def write_and_hear(port, token, gyle, streams, number):
    waiting = [asyncio.create_task(heard_at(reader)) for reader, _ in streams]
    entry = {"version": 1, "key": f"bench-{number}", "at": "2026-11-25T11:00:00.000Z", "kind": "reading",
             "body": {"sight": "gravity", "stage": "before-boil", "value": 1.040}}
    began = time.monotonic()
    await asyncio.to_thread(post, port, 0, f"/api/gyles/{gyle}/entries", {"entries": [entry]}, token)
    done, late = await asyncio.wait(waiting, timeout=PATIENCE_S) if waiting else (set(), set())
    for task in late:
        task.cancel()
    times = sorted(1000 * (task.result() - began) for task in done if task.exception() is None)
    if times:
        print(f"heard {len(times)} {times[0]:.1f} {times[-1]:.1f}", flush=True)
    else:
        print("heard 0 0 0", flush=True)


async def main():
    port, code, log, tokens_file, gyle = int(sys.argv[1]), sys.argv[2], sys.argv[3], sys.argv[4], sys.argv[5]
    tokens = pair_all(port, code, log)
    with open(tokens_file, "w", encoding="utf-8") as out:
        out.writelines(token + "\n" for token in tokens)
    opened = await asyncio.gather(*(open_stream(port, device, token) for device, token in enumerate(tokens)))
    streams = [stream for stream in opened if stream is not None]
    print(f"listening {len(streams)}", flush=True)
    number = 0
    while (await asyncio.to_thread(sys.stdin.readline)).strip() == "write":
        number += 1
        await write_and_hear(port, tokens[0], gyle, streams, number)


asyncio.run(main())
