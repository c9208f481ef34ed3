#include "app/document/import_board.h"

#include <QCoreApplication>
#include <algorithm>
#include <filesystem>

namespace beatwitness::app {
namespace {

using namespace library;

QString tr(const char* text) {
    return QCoreApplication::translate("ImportBoard", text);
}

std::optional<Span<RecordingClock>> partOf(const ProposedRecording& use, const ImportSource& source) {
    return use.span ? use.span : source.files[use.file].summary.span;
}

}  // namespace

ImportBoard::ImportBoard(const ImportPlan& plan) {
    for (const auto& proposed : plan.sessions) {
        BoardSession session;
        session.is = proposed;
        session.is.wearings.clear();
        for (const auto& wearing : proposed.wearings)
            session.wearings.push_back({wearing, false});
        sessions_.push_back(std::move(session));
    }
    for (const auto& wearing : plan.unplaced)
        unplaced_.push_back({wearing, false});
}

BoardWearing& ImportBoard::wearing(const BoardPlace& place) {
    auto& list = place.session == BoardPlace::noSession ? unplaced_ : session(place.session).wearings;
    return list[static_cast<std::size_t>(place.wearing)];
}

const BoardWearing& ImportBoard::wearing(const BoardPlace& place) const {
    return const_cast<ImportBoard*>(this)->wearing(place);
}

int ImportBoard::move(std::vector<BoardPlace> places, int to, const std::string& newName) {
    std::erase_if(places, [](const BoardPlace& place) { return place.wearing < 0; });
    if (places.empty()) return to;
    std::vector<BoardWearing> moved;
    for (const auto& place : places)
        moved.push_back(wearing(place));
    // From behind, so that places stay true.
    std::ranges::sort(places, [](const BoardPlace& a, const BoardPlace& b) {
        return a.session != b.session ? a.session > b.session : a.wearing > b.wearing;
    });
    const int from = places.back().session;
    for (const auto& place : places) {
        auto& list = place.session == BoardPlace::noSession ? unplaced_ : session(place.session).wearings;
        list.erase(list.begin() + place.wearing);
    }
    if (to == static_cast<int>(sessions_.size())) {
        BoardSession fresh;
        if (from >= 0) {
            fresh.is.activity = session(from).is.activity;
            fresh.is.wearer = session(from).is.wearer;
        }
        fresh.is.name = newName;
        fresh.is.because = tr("Made by you.").toStdString();
        sessions_.push_back(std::move(fresh));
    }
    auto& target = session(to).wearings;
    target.insert(target.end(), moved.begin(), moved.end());
    int at = to;
    for (int i = static_cast<int>(sessions_.size()) - 1; i >= 0; --i) {
        if (!session(i).wearings.empty()) continue;
        sessions_.erase(sessions_.begin() + i);
        if (i < at) --at;
    }
    return at;
}

int ImportBoard::merge(int from, int to) {
    if (from == to) return to;
    auto moved = std::move(session(from).wearings);
    auto& target = session(to).wearings;
    target.insert(target.end(), std::make_move_iterator(moved.begin()), std::make_move_iterator(moved.end()));
    if (!session(to).is.joins) session(to).is.joins = session(from).is.joins;
    sessions_.erase(sessions_.begin() + from);
    return from < to ? to - 1 : to;
}

BoardPlace ImportBoard::joinWearings(std::vector<BoardPlace> places) {
    std::ranges::sort(places, {}, &BoardPlace::wearing);
    auto& list = session(places.front().session).wearings;
    auto& uses = wearing(places.front()).is.recordings;
    for (std::size_t i = 1; i < places.size(); ++i) {
        const auto& more = wearing(places[i]).is.recordings;
        uses.insert(uses.end(), more.begin(), more.end());
    }
    for (std::size_t i = places.size() - 1; i > 0; --i)
        list.erase(list.begin() + places[i].wearing);
    return places.front();
}

void ImportBoard::toggleLeftOut(const std::vector<BoardPlace>& places) {
    const auto flag = [this](const BoardPlace& place) -> bool& {
        return place.isSession() ? session(place.session).isLeftOut : wearing(place).isLeftOut;
    };
    if (places.empty()) return;
    const bool isOut = !flag(places.front());
    for (const auto& place : places)
        flag(place) = isOut;
}

BoardPlace ImportBoard::addAttempt(int at, const std::string& device) {
    BoardWearing attempt;
    attempt.is.role = Role::Test;
    attempt.is.device = device;
    attempt.is.outcome = WearingOutcome::Failed;
    attempt.is.because = tr("Added by you.").toStdString();
    session(at).wearings.push_back(std::move(attempt));
    return {at, static_cast<int>(session(at).wearings.size()) - 1};
}

void ImportBoard::addUnplaced(std::size_t file, const ImportSource& source) {
    BoardWearing wearing;
    wearing.is.device = std::filesystem::path(source.files[file].read().file).stem().string();
    wearing.is.recordings.push_back({file, std::nullopt});
    wearing.is.because = tr("It was read just now; move it to its session.").toStdString();
    unplaced_.push_back(std::move(wearing));
}

void ImportBoard::forgetParts(std::size_t file) {
    const auto forget = [file](std::vector<BoardWearing>& wearings) {
        for (auto& wearing : wearings)
            for (auto& use : wearing.is.recordings)
                if (use.file == file) use.span.reset();
    };
    for (auto& session : sessions_)
        forget(session.wearings);
    forget(unplaced_);
}

std::vector<ProposedSession> ImportBoard::toStore() const {
    std::vector<ProposedSession> sessions;
    for (const auto& session : sessions_) {
        if (session.isLeftOut) continue;
        auto kept = session.is;
        for (const auto& wearing : session.wearings)
            if (!wearing.isLeftOut) kept.wearings.push_back(wearing.is);
        if (!kept.wearings.empty()) sessions.push_back(std::move(kept));
    }
    return sessions;
}

QString ImportBoard::complaint() const {
    for (const auto& session : toStore()) {
        if (session.name.empty()) return tr("A session has no name: give it one.");
        const QString name = QString::fromStdString(session.name);
        for (const auto& wearing : session.wearings) {
            if (wearing.device.empty()) return tr("In %1 a recording has no device: name it.").arg(name);
            if (wearing.outcome == WearingOutcome::Failed && wearing.reason.empty())
                return tr("In %1 the attempt of the %2 has no reason: say in its state why it failed.")
                    .arg(name, QString::fromStdString(wearing.device));
        }
    }
    return {};
}

QString filesOf(const ProposedWearing& wearing, const ImportSource& source) {
    QStringList names;
    for (const auto& use : wearing.recordings) {
        const auto path = std::filesystem::path(source.files[use.file].read().file);
        names << QString::fromStdString(path.filename().string());
    }
    return names.isEmpty() ? tr("no file") : names.join(QStringLiteral(" + "));
}

std::optional<Span<RecordingClock>> spanOf(const ProposedWearing& wearing, const ImportSource& source) {
    std::optional<Span<RecordingClock>> all;
    for (const auto& use : wearing.recordings) {
        const auto part = partOf(use, source);
        if (!part) continue;
        all = all ? Span<RecordingClock>{std::min(all->begin, part->begin), std::max(all->end, part->end)}
                  : *part;
    }
    return all;
}

std::size_t samplesOf(const ProposedWearing& wearing, const ImportSource& source) {
    std::size_t count = 0;
    for (const auto& use : wearing.recordings) {
        const auto& times = source.files[use.file].trace->times;
        const auto part = partOf(use, source);
        if (!part) continue;
        count += static_cast<std::size_t>(std::ranges::upper_bound(times, part->end) -
                                          std::ranges::lower_bound(times, part->begin));
    }
    return count;
}

}  // namespace beatwitness::app
