"""Cutting plans: what is to be cut, from which bars and sheets, how, and what no plan can beat.

A `need` is divided into *orders*: bars of one section, or sheets of one thickness. Each order is planned by itself:
``bars.plan_bars(order, seconds, seed)`` and ``sheets.plan_sheets(order, seconds, seed)`` give a plan in any case, the
best so far when time is up or the user stops them, with what found no place told in it. Every proposal is judged by
the `checker`, which shares no code with the planners, and the answers are put together again as one `plan`.
"""
