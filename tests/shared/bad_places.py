"""Places that nothing can be written to, and addresses where no cluster is.

``taken`` is a file, ``folder`` a folder, ``pipe`` a named pipe, ``loop`` a link to itself and
``nowhere`` a link to nothing, where the command runs.
"""

LONG = "x" * 300
DEEP = "/".join(["x" * 100] * 50)

BAD_FOLDERS = [
    *"/ // taken taken/inside pipe pipe/inside loop loop/in nowhere nowhere/inside".split(),
    *"/dev/null /dev/full /dev/null/inside /proc/self/mem /proc/none/out".split(),
    *("", ".." * 200, LONG, DEEP, f"folder/{LONG}", f"{LONG}/inside", "a\0b", "\udcff" * 250),
]

BAD_FILES = [
    *"/ . .. folder folder/ pipe pipe/inside loop loop/inside nowhere missing/run.store".split(),
    *"taken/inside /dev/null /dev/full /dev/zero /dev/stdin /proc/self/mem /proc/none".split(),
    *("", LONG, DEEP, "a\0b"),
]

BAD_ADDRESSES = [
    *"here tcp tcp: tcp:// tls:// tls://127.0.0.1:1 tcp://127.0.0.1:1 tcp://127.0.0.1:0".split(),
    *"tcp://127.0.0.1:99999 tcp://127.0.0.1:-1 tcp://127.0.0.1:x tcp://[::1 tcp://[::1]:1".split(),
    *"ucx://127.0.0.1:1 inproc:// inproc://1/1/1 ws://x:1 http://127.0.0.1:1".split(),
    *"file:///etc/passwd tcp://a..b:1 127.0.0.1:1 :1 1".split(),
    *("", " ", "a\0b", "\x1b[31m", "tcp://\udcff:1", "x" * 5000, f"tcp://{'x' * 5000}:1"),
    *("\n", "\u202e"),
]
