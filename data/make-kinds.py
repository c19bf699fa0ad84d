#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Turns kinds.csv into the C table bl-kinds.c includes.

A line without a mode is the kind's failure rate per 10^6 h, any other a mode's share of it. The
lines are sorted by kind; no cell holds a comma or a quotation mark, so the file needs no quoting.
"""
import csv
import sys


def main(source, target):
    with open(source, encoding='utf-8', newline='') as file:
        lines = [line for line in file if not line.startswith('#')]
        rows = list(csv.DictReader(lines, strict=True))
    kinds = [row['kind'] for row in rows]
    if kinds != sorted(kinds):
        sys.exit(f'{source}: the kinds are not in order')
    with open(target, 'w', encoding='utf-8') as file:
        for row in rows:
            if None in row.values() or not row['source']:
                sys.exit(f'{source}: incomplete line {row}')
            float(row['value'])
            cells = ', '.join('"%s"' % row[key] for key in ('kind', 'mode', 'row', 'source'))
            file.write('{ %s, %s },\n' % (cells, row['value']))


if __name__ == '__main__':
    main(*sys.argv[1:])
