"""The way to an instrument: ports, adapters, link texts."""

_LISTED = "Choose one of the ports that “benchmeter ports” lists."
_GOES_ON = "recording goes on by itself."

TEXTS: dict[str, str | tuple[str, str]] = {
    "access_group": (
        "Type “sudo usermod -aG dialout $USER” in a terminal, then log out and in again; a program "
        "from a sandboxed package also needs the package's own permission for serial ports."
    ),
    "access_administrator": (
        "Ask the administrator of this computer for the right to use {port:whole}."
    ),
    "adapter_elsewhere": (
        "An adapter like that of {link:whole} is plugged in, but into another socket, so it is not "
        "recorded: it could be another one.",
        f"Plug the adapter of {{link:whole}} into the socket where it was; {_GOES_ON}",
    ),
    "adapter_gone": (
        "The adapter of {link:whole} ({identity:whole}) is not plugged in, so nothing is recorded "
        "from it.",
        f"Plug it in again; {_GOES_ON}",
    ),
    "busy": (
        "{port:whole} is in use by another program, so nothing is recorded from it.",
        "Close the other program; if you have just plugged the adapter in, wait 10 s, since the "
        "system may still be looking whether it is a modem.",
    ),
    "busy_by": (
        "{port:whole} is in use by {program:whole} (process {process}).",
        "Close that program; if you have just plugged the adapter in, wait 10 s.",
    ),
    "busy_here": (
        "benchmeter records from {port:whole} already.",
        "Choose another port.",
    ),
    "another_program": "another program",
    "channel_count": (
        "Channels that “{link:whole}” names: {named}; channels of the profile {profile}: {needed}.",
        "Name them in this order: {names}.",
    ),
    "channel_of_other_quantity": (
        "The channel “{channel}” is for {quantity}, but the profile {profile} measures {measured} "
        "there.",
        "Choose a profile that fits, or give the channel another name.",
    ),
    "channel_twice": (
        "“{link:whole}” calls two channels “{channel}”.",
        "Give each channel a name of its own.",
    ),
    "channel_unnamed": (
        "A channel in “{link:whole}” has no name.",
        "Write the names with a comma between them: channel=discharge,outdoor.",
    ),
    "device_needs_modbus": (
        "“{link:whole}” says device, but the profile {profile} is not Modbus.",
        "Leave device out.",
    ),
    "fault_of_ours": (
        "A fault in the program, {fault}, has closed {link:whole}; the record has a gap from here.",
        f"Nothing is to be done: it is opened anew, and {_GOES_ON}",
    ),
    "forbidden": (
        "You are not allowed to open {port:whole}, so nothing is recorded from it.",
        "{access}",
    ),
    "forbidden_now": ("You are not allowed to open {port:whole}.", "{access}"),
    "lost": (
        "{port:whole} has gone: it was unplugged, or another program reads it too; the record has "
        "a gap from here.",
        "Plug it in again, or, if “benchmeter ports” still lists {port:whole}, close the other "
        f"program that uses it; {_GOES_ON}",
    ),
    "name_twice": ("Two links are called “{link}”.", "Give each link a name of its own."),
    "no_link": (
        "“{link:whole}” does not name a link.",
        "Write {forms:or}.",
    ),
    "no_number": (
        "“{value}” in “{link:whole}” is no {option}.",
        "Write a number from 1 to {highest}.",
    ),
    "no_path": (
        "“{link:whole}” names no port.",
        "Write the port after serial:, as “benchmeter ports” lists it.",
    ),
    "no_port": (
        "There is no port {port:whole}, so nothing is recorded from it.",
        "Plug the adapter in, or choose one of the ports that “benchmeter ports” lists.",
    ),
    "no_profile": (
        "“{link:whole}” names no profile.",
        "Add ?profile=NAME, one of {profiles}.",
    ),
    "no_scenario": ("“{link:whole}” names no scenario.", "Write simulated:SCENARIO."),
    "not_serial": (
        "“{link:whole}” is not a serial link.",
        "Write serial:PATH?profile=NAME.",
    ),
    "not_serial_port": ("{port:whole} is not a serial port.", _LISTED),
    "option_empty": (
        "“{link:whole}” says nothing for {option}.",
        "Write {option}=..., or leave it out.",
    ),
    "option_twice": ("“{link:whole}” says {option} twice.", "Say it once."),
    "option_unknown": (
        "“{option}” in “{link:whole}” is not an option of a serial link.",
        "The options are {options}.",
    ),
    "port_twice": (
        "{one:whole} and {other:whole} both use the port {port:whole}.",
        "Name each port once; one instrument with several probes is one link with several "
        "channels.",
    ),
    "settings_refused": (
        "{port:whole} cannot be opened with {baud} baud, {data_bits} data bits, parity {parity}, "
        "{stop_bits} stop bits.",
        "Check the line settings of the profile; if they are right, unplug the adapter and plug it "
        "in again.",
    ),
    "takes_nothing": (
        "The instrument on {port:whole} does not take what is sent to it, so it cannot be asked "
        "for readings.",
        "Check that it is switched on and that the flow control of its profile is right.",
    ),
}
