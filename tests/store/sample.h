/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-document.h"

/* A small board of the tests' own. */
#define SAMPLE_UID "11111111-2222-4333-8444-555555555555"
#define SAMPLE_DOCUMENT                                                                            \
  "{ \"format\": \"benchlore-board\", \"version\": 1, \"uid\": \"" SAMPLE_UID "\","                \
  "  \"maker\": \"Hollin\", \"model\": \"HR 240\", \"board_number\": \"RB-17\", \"edition\": "     \
  "\"C\","                                                                                         \
  "  \"states\": [{\"id\": \"off\", \"live\": false}, {\"id\": \"run\", \"live\": true, "          \
  "\"volts\": 325}],"                                                                              \
  "  \"photos\": [{\"id\": \"front\", \"side\": \"front\", \"file\": \"photos/front.jpg\"},"       \
  "               {\"id\": \"back\", \"side\": \"back\", \"file\": \"photos/Rückseite.png\"}],"   \
  "  \"sections\": [{\"id\": \"supply\", \"kind\": \"supply\", \"title\": \"Supply\"}],"           \
  "  \"stages\": [{\"id\": \"rail5\", \"section\": \"supply\", \"title\": \"5 V rail\"}],"         \
  "  \"components\": [{\"id\": \"U2\", \"kind\": \"ic.regulator\", \"value\": \"7805\", "          \
  "\"stage\": \"rail5\","                                                                          \
  "                    \"modes\": [{\"mode\": \"open\", \"effects\": [{\"is\": \"absent\"}]}]}],"  \
  "  \"test_points\": [{\"id\": \"TP5\", \"photo\": \"front\", \"x\": 1, \"y\": 2}],"              \
  "  \"measurements\": [{\"id\": \"M5\", \"title\": \"5 V\", \"at\": \"TP5\", \"measures\": \"V "  \
  "DC\","                                                                                          \
  "                      \"state\": \"run\", \"reads\": \"rail5\","                                \
  "                      \"expected\": {\"nominal\": 5, \"low\": 4.8, \"high\": 5.2, "             \
  "\"absent_below\": 0.5,"                                                                         \
  "                                     \"marks\": [{\"id\": \"about half\", \"low\": 2, "         \
  "\"high\": 3}]}}],"                                                                              \
  "  \"symptoms\": [{\"id\": \"E1\", \"title\": \"dark\", \"when\": [{\"on\": \"rail5\", \"is\": " \
  "\"absent\"}]}] }"

static inline BlBoard *
sample_board (void)
{
  g_autoptr (GError) error = NULL;
  BlBoard *board = bl_document_parse (SAMPLE_DOCUMENT, -1, NULL, &error);

  g_assert_no_error (error);
  return board;
}
