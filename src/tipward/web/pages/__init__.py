"""The pages, one router a page. OPEN needs no sign-in, SIGNED_IN reads for all and writes for technicians, OWNER owns.

ASKING only works something out, or asks for the role itself: its forms are open to readers.
"""

from tipward.web.pages.answers import router as answers
from tipward.web.pages.assets import router as assets
from tipward.web.pages.case import router as case
from tipward.web.pages.cases import router as cases
from tipward.web.pages.customer import report_router
from tipward.web.pages.customer import router as customer
from tipward.web.pages.learned import router as learned
from tipward.web.pages.lessons import router as lessons
from tipward.web.pages.people import router as people
from tipward.web.pages.proof import router as proof
from tipward.web.pages.rigs import router as rigs
from tipward.web.pages.route import router as route
from tipward.web.pages.setup import router as setup
from tipward.web.pages.sign_in import router as sign_in
from tipward.web.pages.wire import router as wire
from tipward.web.pages.with_customer import router as with_customer

OPEN = (sign_in, assets)
SIGNED_IN = (cases, case, answers, proof, rigs, setup, wire, learned, with_customer)
OWNER = (people, lessons)
ASKING = (route,)
# These ask for a link before all else, by themselves.
CUSTOMER = (customer, report_router)
