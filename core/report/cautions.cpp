#include "core/report/cautions.h"

#include <array>

namespace beatwitness::report {

std::string_view cautionLine() {
    return "Not a medical device; not for diagnosis, nor for pacing anyone at risk. One wearer, one unit, "
           "one firmware: "
           "these numbers speak for this session.";
}

std::string_view projectCautionLine() {
    return "Not a medical device; not for diagnosis, nor for pacing anyone at risk. One wearer is one "
           "wearer: these "
           "numbers speak for these sessions.";
}

std::span<const std::string_view> cautions() {
    static constexpr std::array<std::string_view, 7> all{
        "This is not a medical device. It is not for diagnosis, for deciding treatment, or for pacing anyone "
        "at risk: "
        "for those, ask a licensed practitioner.",
        "One wearer is one wearer: the numbers speak for this wearer, this unit, this firmware and this "
        "position, not "
        "for a model.",
        "A firmware change makes older results history.",
        "Sessions are the evidence, not seconds: neighbouring seconds repeat each other, so one session "
        "gives no "
        "interval.",
        "The reference is fallible too: dry electrodes, a slipped strap or static can make it wrong.",
        "Position, tightness, tattoos, hair, cold, sweat, skin tone and arrhythmia all change what an "
        "optical sensor "
        "reads.",
        "A constant delay of the device cannot be told from a clock offset: alignment removes both, and \"as "
        "recorded\" "
        "keeps both.",
    };
    return all;
}

}  // namespace beatwitness::report
