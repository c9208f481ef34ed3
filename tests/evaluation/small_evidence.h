#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "core/evaluation/session_evidence.h"

/// Evidence at a glance, without a library behind it.
namespace beatwitness::tests {

/// A rate of 0 stands for a second in which the device has none.
inline agreement::PairedSeconds secondsOf(const std::vector<double>& reference_bpm,
                                          const std::vector<double>& test_bpm) {
    agreement::PairedSeconds seconds;
    for (std::size_t i = 0; i < reference_bpm.size(); ++i) {
        seconds.seconds.push_back(static_cast<std::int32_t>(i));
        seconds.reference.push_back(reference_bpm[i]);
        seconds.test.push_back(test_bpm[i]);
        seconds.paired.push_back(test_bpm[i] > 0);
        seconds.flag.push_back(0);
    }
    const auto isThere = [](double rate) { return rate > 0; };
    const auto first = std::ranges::find_if(test_bpm, isThere);
    seconds.firstSample_s = static_cast<double>(first - test_bpm.begin());
    for (std::size_t i = 0; i < test_bpm.size(); ++i)
        if (isThere(test_bpm[i])) seconds.lastSample_s = static_cast<double>(i);
    return seconds;
}

/// One wearing whose pairs, from second 0 on, are the same under both clocks.
inline evaluation::SessionEvidence evidence(std::int64_t session, std::string device, std::string activity,
                                            const std::vector<double>& reference_bpm,
                                            const std::vector<double>& test_bpm) {
    evaluation::SessionEvidence one;
    one.session = session;
    one.sessionName = "session " + std::to_string(session);
    one.device = std::move(device);
    one.activity = std::move(activity);
    one.wearer = "wearer 1";
    one.aligned = evaluation::clockEvidence(secondsOf(reference_bpm, test_bpm));
    one.asRecorded = one.aligned;
    return one;
}

}  // namespace beatwitness::tests
