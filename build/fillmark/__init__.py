"""Fillmark: YAML in, an offline job card out.

The flow is load -> validate -> check -> render -> write; each verb is a module, and `pipeline`
is their composition on one screen.

    problem    one mistake as a value, and the printed report
    load       reads files: YAML with positions, prose, templates, assets
    model/     what one file may contain
    validate   plain data + positions -> Site, or problems
    units      every unit offered: factor, offset, dimension
    formula/   one declared formula as number, dimension, JavaScript, MathML
    checks/    rules that need more than one value, one file each
    render/    Site -> {path: bytes}
    write      {path: bytes} -> dist/, swapped as a whole
    serve      local server that rebuilds on change
    cli        the commands
"""
