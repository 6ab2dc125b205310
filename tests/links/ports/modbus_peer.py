"""An instrument that is not ours: a Modbus RTU thermometer played by pymodbus. Run as a program.

    python modbus_peer.py PORT

Device 1, input registers 0 and 1: 23.5 and -4.0 in tenths of a degree.
"""

import sys

from pymodbus import FramerType
from pymodbus.server import StartSerialServer
from pymodbus.simulator import DataType, SimData, SimDevice

StartSerialServer(
    SimDevice(1, simdata=[SimData(0, values=[235, -40], datatype=DataType.INT16)]),
    framer=FramerType.RTU,
    port=sys.argv[1],
    baudrate=9600,
)
