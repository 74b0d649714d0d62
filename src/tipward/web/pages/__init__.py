"""The pages, one router a page. OPEN needs no sign-in, SIGNED_IN reads for all and writes for technicians, OWNER owns."""

from tipward.web.pages import answers, assets, case, cases, learned, people, proof, rigs, setup, sign_in

OPEN = (sign_in.router, assets.router)
SIGNED_IN = (cases.router, case.router, answers.router, proof.router, rigs.router, setup.router, learned.router)
OWNER = (people.router,)
