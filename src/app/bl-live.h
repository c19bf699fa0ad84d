/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-verdict.h"

G_BEGIN_DECLS

/* What a meter shows now, as the focus panel and the probe view draw it where nothing is typed. */
typedef struct
{
  const char *shown;    /* "4.980 V", as on the meter; NULL: nothing came yet */
  gboolean has_reading; /* the leads are on something: what it would be read and judged as */
  BlReading reading;
  const BlVerdict *verdict; /* NULL: no band to judge by */
  const char *words;    /* a sentence below the entry; NULL: none */
  gboolean urgent;      /* it waits for somebody, so it is told in bold */
  gboolean loud;        /* it is about danger, or about a value that cannot be right */
} BlLive;

G_END_DECLS
