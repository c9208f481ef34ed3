#include "core/library/import_pieces.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <numeric>
#include <unordered_map>
#include <utility>

#include "core/library/same_samples.h"

namespace beatwitness::library {
namespace {

using recording::ClockBasis;
using TimeSpan = Span<RecordingClock>;

/// What is left of a part after what is stored was taken away is a stretch of its own from here on.
constexpr Micros shortestRest = std::chrono::minutes{2};

std::string nameOf(const std::string& path) {
    return std::filesystem::path(path).filename().string();
}

bool isUndated(ClockBasis clock) {
    return clock == ClockBasis::None;
}

/// First to last value of any channel.
std::optional<TimeSpan> anySpan(const recording::Recording& recording) {
    std::optional<TimeSpan> span;
    for (const auto& channel : recording.channels) {
        const auto [first, last] = std::ranges::minmax_element(channel.times);
        if (first == channel.times.end()) continue;
        span = span ? TimeSpan{std::min(span->begin, *first), std::max(span->end, *last)}
                    : TimeSpan{*first, *last};
    }
    return span;
}

/// Another file that may hold the same samples.
struct Other {
    const trace::Trace<RecordingClock>* trace = nullptr;
    const std::string* device = nullptr;
    const std::string* serial = nullptr;
    std::vector<TimeSpan> spans;  ///< what counts of it
    std::string name;
    bool isStored = false;
};

/// One file, losing what others hold.
class Sieve {
public:
    Sieve(const OfferedFile& offer) : offer_{offer} {
        for (const auto& part : offer.summary.parts)
            left_.push_back(part.span);
    }

    void takeAway(const Other& other) {
        std::vector<TimeSpan> rest;
        for (const auto& part : left_)
            takeAway(other, part, rest);
        left_ = std::move(rest);
    }

    [[nodiscard]] const std::vector<TimeSpan>& left() const { return left_; }
    [[nodiscard]] const Other* lostMostTo() const { return lostMostTo_; }

private:
    void takeAway(const Other& other, const TimeSpan& part, std::vector<TimeSpan>& rest) {
        TimeSpan open = part;
        for (const auto& span : other.spans) {
            const TimeSpan common{std::max(open.begin, span.begin), std::min(open.end, span.end)};
            if (common.end < common.begin || !isSame(other, common)) continue;
            lose(other, common.end - common.begin);
            keep({open.begin, common.begin - Micros{1}}, part, rest);
            open.begin = common.end + Micros{1};
        }
        keep(open, part, rest);
    }

    [[nodiscard]] bool isSame(const Other& other, const TimeSpan& common) const {
        const auto& recording = offer_.recording();
        const bool sameDevice = (!recording.serial.empty() && recording.serial == *other.serial) ||
                                (!recording.device.empty() && recording.device == *other.device);
        return sameSamples(*offer_.trace, *other.trace, common, sameDevice);
    }

    static void keep(const TimeSpan& span, const TimeSpan& part, std::vector<TimeSpan>& rest) {
        const bool isUntouched = span.begin == part.begin && span.end == part.end;
        if (span.end >= span.begin && (isUntouched || span.end - span.begin >= shortestRest))
            rest.push_back(span);
    }

    void lose(const Other& other, Micros length) {
        if (lostMostTo_ && length <= lost_) return;
        lostMostTo_ = &other;
        lost_ = length;
    }

    const OfferedFile& offer_;
    std::vector<TimeSpan> left_;
    const Other* lostMostTo_ = nullptr;
    Micros lost_{0};
};

/// Stored recordings that something draws from, with the parts that count.
std::vector<Other> storedOthers(const LibraryKnowledge& knowledge, const trace::Trace<RecordingClock>& none) {
    std::vector<Other> others(knowledge.recordings.size());
    for (std::size_t i = 0; i < others.size(); ++i) {
        const auto& known = knowledge.recordings[i];
        others[i] = {known.trace ? known.trace.get() : &none,
                     &known.stored.device,
                     &known.stored.serial,
                     {},
                     nameOf(known.stored.file),
                     true};
    }
    for (const auto& session : knowledge.sessions)
        for (const auto& wearing : session.wearings)
            for (const auto& use : wearing.uses)
                if (const auto span = use.span ? use.span : knowledge.recordings[use.recording].stored.span)
                    others[use.recording].spans.push_back(*span);
    for (auto& other : others)
        std::ranges::sort(other.spans, {}, &TimeSpan::begin);
    return others;
}

class Sifter {
public:
    Sifter(std::span<const OfferedFile> files, const LibraryKnowledge& knowledge)
        : files_{files}, knowledge_{knowledge}, stored_{storedOthers(knowledge, none_)} {
        result_.verdicts.resize(files.size());
        pieces_.resize(files.size());
        for (std::size_t i = 0; i < knowledge.recordings.size(); ++i)
            byDigest_.emplace(knowledge.recordings[i].stored.sha256, i);
    }

    NewPieces sift() {
        std::vector<std::size_t> order(files_.size());
        std::iota(order.begin(), order.end(), std::size_t{0});
        findTwins(order);
        // The longer file keeps what two of them hold.
        std::ranges::stable_sort(order, std::greater{},
                                 [this](std::size_t i) { return files_[i].trace->times.size(); });
        offers_.reserve(order.size());
        for (const std::size_t i : order)
            if (result_.verdicts[i].state == FileState::New) sift(i);
        for (auto& pieces : pieces_)
            result_.pieces.insert(result_.pieces.end(), pieces.begin(), pieces.end());
        return std::move(result_);
    }

private:
    void judge(std::size_t file, FileState state, std::string because) {
        result_.verdicts[file] = {state, std::move(because)};
    }

    void findTwins(std::span<const std::size_t> order) {
        std::unordered_map<std::string, std::size_t> first;
        for (const std::size_t i : order) {
            const auto [found, isFirst] = first.emplace(files_[i].read().sha256, i);
            if (!isFirst)
                judge(i, FileState::OfferedTwice,
                      fmt::format("The same bytes as {}.", nameOf(files_[found->second].read().file)));
        }
    }

    void sift(std::size_t file) {
        const auto& offer = files_[file];
        if (!offer.hasHeartRate()) return takeWithoutRate(file);
        Sieve sieve{offer};
        const auto twin = byDigest_.find(offer.read().sha256);
        if (twin != byDigest_.end() && !stored_[twin->second].spans.empty()) {
            if (takenByDigest(file, twin->second)) return;
        }
        const bool isUndatedFile = isUndated(offer.recording().clock);
        if (!isUndatedFile) sieveStored(sieve);
        if (!isUndatedFile) sieveOffered(sieve, *offer.summary.span);
        settle(file, sieve);
        if (!isUndatedFile && !pieces_[file].empty()) remember(file);
    }

    /// True where nothing of the file is left: all its parts are in use.
    bool takenByDigest(std::size_t file, std::size_t stored) {
        const auto& known = knowledge_.recordings[stored].stored;
        const auto& uses = stored_[stored].spans;
        std::vector<TimeSpan> left;
        for (const auto& part : files_[file].summary.parts) {
            const auto isUsed = [&](const TimeSpan& use) {
                return use.begin <= part.span.end && part.span.begin <= use.end;
            };
            if (std::ranges::none_of(uses, isUsed)) left.push_back(part.span);
        }
        if (left.empty()) {
            judge(file, FileState::AlreadyStored,
                  fmt::format("The library has these bytes already, as {}.", nameOf(known.file)));
            return true;
        }
        judge(file, FileState::PartlyNew,
              fmt::format("The library has this file; {} of its {} stretches belong to no session yet.",
                          left.size(), files_[file].summary.parts.size()));
        for (const auto& span : left)
            pieces_[file].push_back({file, span, false});
        return true;
    }

    void sieveStored(Sieve& sieve) {
        for (const auto& other : stored_)
            if (!other.trace->empty()) sieve.takeAway(other);
    }

    void sieveOffered(Sieve& sieve, const TimeSpan& span) {
        for (const auto& other : offers_)
            if (other.trace->times.front() <= span.end && span.begin <= other.trace->times.back())
                sieve.takeAway(other);
    }

    void remember(std::size_t file) {
        const auto& offer = files_[file];
        Other other{offer.trace.get(),         &offer.recording().device,
                    &offer.recording().serial, {},
                    nameOf(offer.read().file), false};
        for (const auto& part : offer.summary.parts)
            other.spans.push_back(part.span);
        offers_.push_back(std::move(other));
    }

    void settle(std::size_t file, const Sieve& sieve) {
        const auto* holder = sieve.lostMostTo();
        if (sieve.left().empty() && holder) {
            if (holder->isStored)
                judge(file, FileState::AlreadyStored,
                      fmt::format("The library has the same samples, from {}.", holder->name));
            else
                judge(file, FileState::InLongerExport,
                      fmt::format("The same samples stand in {}, a longer export.", holder->name));
            return;
        }
        if (holder)
            judge(file, FileState::PartlyNew,
                  fmt::format("A part of it is {} {}; only the rest is taken.",
                              holder->isStored ? "stored already, from" : "in", holder->name));
        for (const auto& span : sieve.left())
            pieces_[file].push_back({file, span, !holder && sieve.left().size() == 1});
    }

    void takeWithoutRate(std::size_t file) {
        const auto twin = byDigest_.find(files_[file].read().sha256);
        if (twin != byDigest_.end() && isUsed(twin->second))
            return judge(
                file, FileState::AlreadyStored,
                fmt::format("The library has these bytes already, as {}.", stored_[twin->second].name));
        const auto span = anySpan(files_[file].recording());
        if (!span)
            return judge(file, FileState::NothingToTake,
                         "It holds neither a valid heart rate (25 to 250 bpm) nor another channel.");
        pieces_[file].push_back({file, *span, true});
    }

    [[nodiscard]] bool isUsed(std::size_t recording) const {
        return std::ranges::any_of(knowledge_.sessions, [&](const KnownSession& session) {
            return std::ranges::any_of(session.wearings, [&](const KnownWearing& wearing) {
                return std::ranges::find(wearing.uses, recording, &KnownUse::recording) != wearing.uses.end();
            });
        });
    }

    std::span<const OfferedFile> files_;
    const LibraryKnowledge& knowledge_;
    const trace::Trace<RecordingClock> none_{};
    std::vector<Other> stored_, offers_;
    std::unordered_map<std::string, std::size_t> byDigest_;
    std::vector<std::vector<Piece>> pieces_;
    NewPieces result_;
};

}  // namespace

NewPieces newPieces(std::span<const OfferedFile> files, const LibraryKnowledge& knowledge) {
    return Sifter{files, knowledge}.sift();
}

}  // namespace beatwitness::library
