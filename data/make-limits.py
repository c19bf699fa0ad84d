#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Turns limits.csv into the C table bl-limits.c includes.

Values are in SI base units; an empty one is left out. No cell holds a comma or a quotation mark, so the
file needs no quoting: a semicolon stands for a comma. Every row says where it is from and how far that was
followed up.
"""
import csv
import sys

STATUS = ('source named', 'quoted second-hand', 'from memory', 'computed', 'common practice, no source')


def number(text):
    return 'NAN' if text == '' else repr(float(text))


def main(source, target):
    with open(source, encoding='utf-8', newline='') as file:
        lines = [line for line in file if not line.startswith('#')]
        rows = list(csv.DictReader(lines, strict=True))
    with open(target, 'w', encoding='utf-8') as file:
        for row in rows:
            if None in row.values() or not row['source'].strip():
                sys.exit(f'{source}: incomplete line {row}')
            row = {key: text.replace(';', ',') for key, text in row.items()}
            if row['status'] not in STATUS:
                sys.exit(f'{source}: no such status in {row}')
            given = [float(row[key]) for key in ('low', 'nominal', 'high') if row[key] != '']
            if not given or given != sorted(given):
                sys.exit(f'{source}: limits out of order in {row}')
            words = ', '.join('"%s"' % row[key] for key in ('kinds', 'like', 'measures', 'what'))
            values = ', '.join(number(row[key]) for key in ('low', 'nominal', 'high'))
            rest = ', '.join('"%s"' % text for text in (row['conditions'], row['source'], row['status']))
            file.write('{ %s, %s, %s },\n' % (words, values, rest))


if __name__ == '__main__':
    main(*sys.argv[1:])
