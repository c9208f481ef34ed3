#include "app/document/blind_session.h"

#include <QCoreApplication>
#include <algorithm>
#include <numeric>
#include <random>

namespace beatwitness::app {
namespace {

QString tr(const char* text) {
    return QCoreApplication::translate("BlindSession", text);
}

struct NewName {
    std::string was, is;
};

void rename(recording::RecordingFile& file, const std::string& name) {
    file.file = name;
    file.recording.device = name;
}

SharedFile renamed(const SharedFile& file, const std::string& name) {
    auto copy = *file;
    rename(copy, name);
    return std::make_shared<const recording::RecordingFile>(std::move(copy));
}

std::string numbered(const char* text, std::size_t number) {
    return tr(text).arg(number).toStdString();
}

/// Sentences name the file of an earlier device.
void hide(std::vector<flags::Flag>& flags, const std::vector<NewName>& names) {
    for (auto& flag : flags)
        for (const auto& name : names)
            if (const auto at = flag.because.find(name.was); !name.was.empty() && at != std::string::npos)
                flag.because.replace(at, name.was.size(), name.is);
}

}  // namespace

std::vector<std::size_t> dealtOrder(std::size_t count) {
    std::vector<std::size_t> order(count);
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::mt19937 random{std::random_device{}()};
    std::shuffle(order.begin(), order.end(), random);
    return order;
}

Snapshot blinded(const Snapshot& snapshot, const std::vector<std::size_t>& order) {
    Snapshot seen = snapshot;
    auto session = *snapshot.analysis;
    const auto reference = tr("reference").toStdString();
    seen.plan.reference = renamed(snapshot.plan.reference, reference);
    rename(session.reference, reference);
    std::vector<NewName> names;
    for (std::size_t place = 0; place < order.size(); ++place) {
        const auto name = numbered("device %1", place + 1);
        const auto& test = snapshot.plan.tests[order[place]];
        names.push_back({test.file->file, name});
        seen.plan.tests[place] = test;
        seen.plan.tests[place].file = renamed(test.file, name);
        session.tests[place] = snapshot.analysis->tests[order[place]];
        rename(session.tests[place].file, name);
    }
    for (std::size_t i = 0; i < seen.plan.contexts.size(); ++i) {
        const auto name = numbered("context %1", i + 1);
        seen.plan.contexts[i] = renamed(snapshot.plan.contexts[i], name);
        rename(session.contexts[i].file, name);
    }
    for (auto& test : session.tests) {
        hide(test.flags, names);
        hide(test.dismissed, names);
    }
    seen.analysis = std::make_shared<const analysis::SessionAnalysis>(std::move(session));
    return seen;
}

}  // namespace beatwitness::app
