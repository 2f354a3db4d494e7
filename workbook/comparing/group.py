"""Farms compared: all that the group workbook, the pages of the farms and the frames are made from."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import pandas as pd

from workbook.comparing.farm import Farm
from workbook.comparing.frames import figures_frame, group_frame
from workbook.comparing.funnels import Funnel, funnels
from workbook.comparing.letters import Named, lettered
from workbook.comparing.looking import Left


@dataclass(frozen=True)
class Compared:
    """A group of farms.

    `figures` has a row for each figure and farm, `group` one for each figure and the farms alike in it (see `frames`);
    `funnels` one for each loss and the farms alike in it. `farms` carry flock and file: they are for whoever holds the key.
    `left` are files that do not stand in the group, and why.
    """

    farms: tuple[Farm, ...]
    figures: pd.DataFrame
    group: pd.DataFrame
    funnels: tuple[Funnel, ...]
    left: tuple[Left, ...] = ()
    together: bool = False

    def farm(self, letter: str) -> Farm:
        return next(farm for farm in self.farms if farm.letter == letter)


def compared(
    farms: Iterable[Farm], left: Sequence[Left] = (), key: Sequence[Named] = (), *, together: bool = False,
) -> Compared:
    """Farms with their letters side by side, each figure among those that are alike in it.

    `together` puts farms that lamb indoors and outdoors side by side.
    """
    named = lettered(farms, key)
    figures = figures_frame(named, together=together)
    return Compared(named, figures, group_frame(figures), funnels(named, together=together), tuple(left), together)
