"""What does not hold together in a profile: clauses, for "PATH: line 3, …"."""

TEXTS: dict[str, str | tuple[str, str]] = {
    "above_zero": "{field:whole} must be greater than 0",
    "ascii": "{field:whole} must be ASCII text",
    "ascii_line": "{field:whole} must be ASCII text without line ends",
    "ask_function_needed": "{field:whole} needs format.ask_function",
    "between": "{field:whole} must be {low} to {high}",
    "bit": "{field:whole}: {bit} must be a bit from 0 to 3",
    "command": "{field:whole} must hold commands without reply",
    "entry_needed": "{field:whole} must have at least one entry",
    "fields_differ": "{field:whole} must each have a field of their own",
    "finite": "{field:whole} must be a finite number",
    "finite_scale": "{field:whole} must be a finite number other than 0",
    "group_missing": "{field:whole} has no group “{group}”, which {channel:whole} needs",
    "hexadecimal": "{field:whole} must be a hexadecimal number of four digits",
    "line_end": "{field:whole} must be a line end",
    "lowest_above_highest": "{field:whole} must not be above highest",
    "no_channel": "{field:whole}: no channel has the field “{name}”",
    "no_pattern": "{field:whole} is no regular expression: {why:whole}",
    "no_register": "{field:whole}: format.registers has no field “{name}”",
    "not_empty": "{field:whole} must not be empty",
    "number_in_quotes": "{field:whole} must be a number in quotes",
    "one_value": "{field:whole} must have one entry: the display shows one value",
    "only_first_asked": "{field:whole} is missing: only the first may be asked for",
    "question": "{field:whole} must be a question, with “?”",
    "questions_differ": "{field:whole}, ask_function and read must differ",
    "quantity_not_asked": "{field:whole} is missing: format.ask_function is not given",
    "register_silent": "{field:whole} is missing: a register does not tell it",
    "unit_group_missing": (
        "{field:whole} needs quantity and unit: format.pattern has no group “{group}”"
    ),
    "unit_needed": "{field:whole} needs a unit beside it",
}
