"""An independent oracle for the bidding: the reference agreement read plainly, hand by hand.

Written from the text of the agreement alone and kept apart from the package, so that the
package's vectorised rules can be compared with it; slow on purpose. Each comment quotes the
sentence that the lines below it carry out, and a docstring says which reading was taken where
the text leaves a choice. ``played`` has it play by other settings.
"""

from plain.auction import *
from plain.settings import *
