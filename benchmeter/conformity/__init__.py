"""JCGM 106 and nothing else: accuracy, uncertainty, decision rule, verdict. Pure."""
