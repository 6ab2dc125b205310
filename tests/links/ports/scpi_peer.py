"""An instrument that is not ours: a SCPI meter played by sinstruments on a pty. Run as a program.

    python scpi_peer.py LINK

Answers are IEEE 488.2 NR3 numbers; READ? counts up in steps of a nanofarad, so that a lost or a
doubled answer shows.
"""

import sys

from sinstruments.simulator import BaseDevice, Server


class CapacitanceMeter(BaseDevice):
    newline = b"\n"
    count = 0

    def handle_message(self, message: bytes) -> bytes | None:
        message = message.strip().upper()
        if message == b"*IDN?":
            return b"INVENTED,CAPACITANCE METER,17,1.0\n"
        if message == b"READ?":
            self.count += 1
            return b"+%d.0E-09\n" % (44_100 + self.count)
        if message == b"FUNC?":
            return b'"CAP"\n'
        return None


Server(
    devices=[
        {
            "name": "meter",
            "class": "CapacitanceMeter",
            "package": "__main__",
            "transports": [{"type": "serial", "url": sys.argv[1]}],
        }
    ]
).serve_forever()
