#include "proof/check.h"

namespace benchleaf::proof::checks {

namespace {

// A fastener that comes out from tight is slackened on the way, so what it says of slacken holds, too.
void find_slackened_outside_while(Moment& now, const Check& self) {
    const Way tight = now.when(now.at, [](const Standing& s) { return s.place <= 1; });
    now.ask(self, now.whiles(model::VerbName::slacken),
            {"{item} is removed from tight{sides}", "it is slackened with it", "asked for here", {}, true}, tight);
}

} // namespace

extern const Check slackened_outside_while{{"slackened-outside-while", messages::Level::error,
                                            "a fastener is removed from tight where it may not be slackened"},
                                           When::demand,
                                           model::Demand::slacken_whiles,
                                           find_slackened_outside_while};

} // namespace benchleaf::proof::checks
