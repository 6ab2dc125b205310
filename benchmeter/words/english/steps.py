"""What to do next in a part check."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "make_safe": "First make it safe: discharge it, and measure the DC volts left on it.",
    "clip_on": "Put the leads {where:whole}.",
    "hold": "Still moving, hold on.",
    "lift_leads": "Lift the leads, then put {them:whole}.",
    "take_off": "Take off what is on, then put {them:whole}.",
    "looks_like": "This looks like {other:whole}. Put {them:whole}, or take it by hand.",
    "unlikely": "An unlikely value. Check the leads; if it stays, take it by hand.",
    "set_function": "Set the meter to {function:whole}.",
    "silent": "The meter is silent. Switch it on and let it send, or type the reading.",
    "type_it": "Type the reading in {unit}: {what:whole}.",
    "type_or_probe": "Type the reading in {unit}: {what:whole}. Space takes the probe's.",
    "done": "Done. Begin the next part, or repeat a section.",
    # nothing between the leads
    "nothing_in_ohm": "Put {them:whole}. {overload:whole}",
    "next_to_nothing": "Next to nothing. Put {them:whole}; if it is, take it by hand.",
    "nothing_capacitance": (
        "Nothing between the leads. Put {them:whole}; if they are, take it as open."
    ),
    "nothing": "Nothing between the leads. Put {them:whole}; if they are, take it by hand.",
    # a low range overloads where a higher one still shows a value
    "overload_good": "If the meter shows OL in its highest range, take it: good.",
    "overload_open": "If the meter shows OL in its highest range, take it: open.",
    "overload_capacitance": (
        "Overload. Choose a higher range; if it stays, check in ohms for a short."
    ),
    "overload": "Overload. Choose a higher range, and check the leads.",
    # where
    "on_both": "on the part's two terminals",
    "on_section": "on C and {section}",
    "them": "them {where:whole}",
    "the_leads": "the leads {where:whole}",
    "the_tool": "the {tool:whole}",
    "colours": "red on {first:whole}, black on {second:whole}",
    "another_section": "another section",
}
