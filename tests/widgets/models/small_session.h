#pragma once

#include <memory>

#include "core/analysis/session_analysis.h"

namespace beatwitness::tests {

/// A session of one test whose numbers were written down by hand, with an aligned view or without.
inline std::shared_ptr<const analysis::SessionAnalysis> smallSession(bool aligned) {
    auto session = std::make_shared<analysis::SessionAnalysis>();
    session->reference.file = "strap.csv";
    session->referenceTrace = {{0.0, 1.0, 2.0}, {Bpm{120}, Bpm{121}, Bpm{122}}, {0, 1, 1}};
    analysis::TestAnalysis test;
    test.file.file = "band.csv";
    test.asRecorded.agreement.pairs = 2870;
    test.asRecorded.agreement.bias = BpmDelta{-3.14159};
    test.asRecorded.agreement.mae = BpmDelta{10.26};
    if (aligned) {
        test.aligned = test.asRecorded;
        test.aligned->agreement.bias = BpmDelta{0.5};
        test.alignment.correction = alignment::ClockCorrection{{}, Seconds{3.4}, {}};
    }
    flags::Flag flag;
    flag.span = {sessionTime(62.0), sessionTime(101.0)};
    flag.magnitude = 40.0;
    flag.because = "No samples for 40 s.";
    test.flags.push_back(flag);
    session->tests.push_back(test);
    return session;
}

}  // namespace beatwitness::tests
