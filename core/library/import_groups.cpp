#include "core/library/import_groups.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <utility>

#include "core/foundation/text.h"
#include "core/library/file_words.h"

namespace beatwitness::library {
namespace {

using recording::ClockBasis;
using TimeSpan = Span<RecordingClock>;
using std::chrono::minutes;

/// Longer than a workout: such a piece gives a part to each workout it overlaps and makes none by itself.
constexpr Micros wholeDay = minutes{360};
/// A piece that is this much longer than the workout is cut to it …
constexpr Micros spare = minutes{10};
/// … with this much on either side, for clocks that differ.
constexpr Micros cutMargin = minutes{2};
/// Clocks of one workout in different zones start this close once the zone is right.
constexpr Micros sameStart = minutes{10};
constexpr Micros shiftStep = minutes{30};
constexpr int mostShifts = 28;  ///< half hours either way
/// Names this much alike, lengths this close: one workout, where there is no date.
constexpr double alikeEnough = 0.5, lengthsCloseEnough = 0.8;

Micros lengthOf(const TimeSpan& span) {
    return span.end - span.begin;
}

Micros common(const TimeSpan& a, const TimeSpan& b) {
    return std::min(a.end, b.end) - std::max(a.begin, b.begin);
}

/// At least half of the shorter lies in the other.
bool meet(const TimeSpan& a, const TimeSpan& b) {
    const Micros both = common(a, b);
    return both >= Micros{0} && 2 * both >= std::min(lengthOf(a), lengthOf(b));
}

TimeSpan shifted(const TimeSpan& span, Micros shift) {
    return {span.begin + shift, span.end + shift};
}

double lengthLikeness(const TimeSpan& a, const TimeSpan& b) {
    const double shorter = toSeconds(std::min(lengthOf(a), lengthOf(b))).value;
    const double longer = toSeconds(std::max(lengthOf(a), lengthOf(b))).value;
    return longer <= 0.0 ? 1.0 : shorter / longer;
}

std::string shiftWords(Micros shift) {
    const double hours = toSeconds(shift).value / 3600.0;
    return fmt::format("its times name no zone and fit at {:+g} h", hours);
}

class Grouper {
public:
    Grouper(std::span<const Piece> pieces, std::span<const OfferedFile> files,
            const std::vector<bool>& anchors, const LibraryKnowledge& knowledge)
        : pieces_{pieces}, files_{files}, anchors_{anchors}, knowledge_{knowledge} {}

    GroupedPieces group() {
        shifts_.resize(pieces_.size());
        settleZones();
        takeAnchors();
        takeOthers();
        takeWholeDays();
        takeWrongHours();
        joinStored();
        takeUndated();
        takeContexts();
        leaveLonelyPartsOut();
        sortAndExplain();
        return std::move(result_);
    }

private:
    [[nodiscard]] const OfferedFile& fileOf(std::size_t piece) const { return files_[pieces_[piece].file]; }
    [[nodiscard]] ClockBasis clockOf(std::size_t piece) const { return fileOf(piece).recording().clock; }
    [[nodiscard]] bool isDated(std::size_t piece) const { return clockOf(piece) != ClockBasis::None; }
    [[nodiscard]] bool hasRate(std::size_t piece) const { return fileOf(piece).hasHeartRate(); }
    [[nodiscard]] TimeSpan spanOf(std::size_t piece) const {
        return shifted(pieces_[piece].span, shifts_[piece]);
    }
    [[nodiscard]] bool isLong(std::size_t piece) const { return lengthOf(spanOf(piece)) > wholeDay; }

    template <class Test>
    [[nodiscard]] std::vector<std::size_t> piecesThat(Test test) const {
        std::vector<std::size_t> found;
        for (std::size_t i = 0; i < pieces_.size(); ++i)
            if (test(i)) found.push_back(i);
        return found;
    }

    /// Beginnings that are sure: those of files with a zone and of stored sessions.
    [[nodiscard]] std::vector<RecordingTime> sureBegins() const {
        std::vector<RecordingTime> begins;
        for (std::size_t i = 0; i < pieces_.size(); ++i)
            if (clockOf(i) == ClockBasis::Utc && hasRate(i)) begins.push_back(pieces_[i].span.begin);
        for (const auto& session : knowledge_.sessions)
            if (session.span) begins.push_back(session.span->begin);
        std::ranges::sort(begins);
        return begins;
    }

    /// Shifts in the order in which they are preferred: none, then the smaller ones.
    static std::vector<Micros> shiftsToTry() {
        std::vector<Micros> shifts{Micros{0}};
        for (int step = 1; step <= mostShifts; ++step)
            for (const int sign : {-1, 1})
                shifts.push_back(sign * step * Micros{shiftStep});
        return shifts;
    }

    /// The zone at which most of the times without one begin with something that is sure; a piece that fits
    /// nothing there is tried by itself.
    void settleZones() {
        const auto open = piecesThat([&](std::size_t i) { return clockOf(i) == ClockBasis::ZoneUnknown; });
        const auto begins = sureBegins();
        if (open.empty() || begins.empty()) return;
        const auto fits = [&](std::size_t piece, Micros shift) {
            const auto begin = pieces_[piece].span.begin + shift;
            const auto next = std::ranges::lower_bound(begins, begin - sameStart);
            return next != begins.end() && *next <= begin + sameStart;
        };
        const auto shifts = shiftsToTry();
        const auto count = [&](Micros shift) {
            return std::ranges::count_if(open, [&](std::size_t piece) { return fits(piece, shift); });
        };
        const Micros usual = *std::ranges::max_element(shifts, {}, count);
        for (const std::size_t piece : open) {
            shifts_[piece] = usual;
            if (fits(piece, usual)) continue;
            const auto own = std::ranges::find_if(shifts, [&](Micros shift) { return fits(piece, shift); });
            if (own != shifts.end()) shifts_[piece] = *own;
        }
    }

    [[nodiscard]] std::string zoneWords(std::size_t piece) const {
        return shifts_[piece] == Micros{0} ? std::string{} : shiftWords(shifts_[piece]);
    }

    void addGroup(std::size_t piece) {
        PieceGroup group;
        group.core = spanOf(piece);
        group.members.push_back({piece, std::nullopt, zoneWords(piece)});
        result_.groups.push_back(std::move(group));
    }

    [[nodiscard]] std::vector<std::size_t> groupsMeeting(std::size_t piece, std::size_t from = 0) const {
        std::vector<std::size_t> found;
        for (std::size_t g = from; g < result_.groups.size(); ++g)
            if (result_.groups[g].core && meet(spanOf(piece), *result_.groups[g].core)) found.push_back(g);
        return found;
    }

    void join(std::size_t group, std::size_t piece, bool isCut) {
        const auto& core = *result_.groups[group].core;
        GroupMember member{piece, std::nullopt, zoneWords(piece)};
        if (isCut || lengthOf(spanOf(piece)) > lengthOf(core) + lengthOf(core) / 2 + spare) {
            const auto own = pieces_[piece].span;
            const auto wanted = shifted({core.begin - cutMargin, core.end + cutMargin}, -shifts_[piece]);
            const TimeSpan cut{std::max(own.begin, wanted.begin), std::min(own.end, wanted.end)};
            if (cut.begin > own.begin || cut.end < own.end) member.cut = cut;
        }
        result_.groups[group].members.push_back(std::move(member));
    }

    void grow(std::size_t group, std::size_t piece) {
        auto& core = *result_.groups[group].core;
        const auto span = spanOf(piece);
        core = {std::min(core.begin, span.begin), std::max(core.end, span.end)};
    }

    std::vector<std::size_t> byBegin(std::vector<std::size_t> pieces) const {
        std::ranges::stable_sort(pieces, {}, [this](std::size_t i) { return spanOf(i).begin; });
        return pieces;
    }

    void takeAnchors() {
        const auto anchors = piecesThat([&](std::size_t i) {
            return hasRate(i) && isDated(i) && !isLong(i) && anchors_[pieces_[i].file];
        });
        for (const std::size_t piece : byBegin(anchors)) {
            const auto groups = groupsMeeting(piece);
            if (groups.empty()) {
                addGroup(piece);
            } else {
                join(groups.front(), piece, false);
                grow(groups.front(), piece);
            }
        }
    }

    void takeOthers() {
        const std::size_t anchored = result_.groups.size();
        const auto others = byBegin(piecesThat([&](std::size_t i) {
            return hasRate(i) && isDated(i) && !isLong(i) && !anchors_[pieces_[i].file];
        }));
        std::vector<std::size_t> left;
        for (const std::size_t piece : others) {
            const auto groups = groupsMeeting(piece);
            for (const std::size_t group : groups)
                join(group, piece, groups.size() > 1);
            if (groups.empty()) left.push_back(piece);
        }
        std::ranges::stable_sort(left, {}, [this](std::size_t i) { return lengthOf(spanOf(i)); });
        for (const std::size_t piece : left)
            takeAmongOthers(piece, anchored);
    }

    /// Without a reference to go by: shorter ones first, so that one that spans several gives each a part.
    void takeAmongOthers(std::size_t piece, std::size_t from) {
        const auto groups = groupsMeeting(piece, from);
        if (groups.empty()) return addGroup(piece);
        for (const std::size_t group : groups)
            join(group, piece, groups.size() > 1);
        if (groups.size() == 1) grow(groups.front(), piece);
    }

    /// A clock that was set an hour wrong: alone at its time, but whole or half hours away lies a workout of
    /// the same name and length.
    void takeWrongHours() {
        for (std::size_t g = result_.groups.size(); g-- > 0;) {
            const auto& group = result_.groups[g];
            if (group.members.size() != 1 || anchors_[pieces_[group.members[0].piece].file]) continue;
            const std::size_t piece = group.members[0].piece;
            const auto target = groupAtAnotherHour(piece, g);
            if (!target) continue;
            auto because = fmt::format(
                "by its name it belongs here, by its clock {:+g} h later",
                toSeconds(halfHours(spanOf(piece).begin - result_.groups[*target].core->begin)).value /
                    3600.0);
            result_.groups[*target].members.push_back({piece, std::nullopt, std::move(because)});
            result_.groups.erase(result_.groups.begin() + static_cast<std::ptrdiff_t>(g));
        }
    }

    static Micros halfHours(Micros apart) {
        const auto steps = std::llround(toSeconds(apart).value / toSeconds(shiftStep).value);
        return steps * Micros{shiftStep};
    }

    [[nodiscard]] std::optional<std::size_t> groupAtAnotherHour(std::size_t piece, std::size_t except) const {
        const auto words = fileWords(fileOf(piece).read().file);
        for (std::size_t g = 0; g < result_.groups.size(); ++g) {
            const auto& group = result_.groups[g];
            if (g == except || !group.core) continue;
            const Micros apart = spanOf(piece).begin - group.core->begin;
            const Micros hours = halfHours(apart);
            if (hours == Micros{0} || std::chrono::abs(hours) > mostShifts * Micros{shiftStep} ||
                std::chrono::abs(apart - hours) > sameStart)
                continue;
            for (const auto& member : group.members) {
                const auto other = fileWords(fileOf(member.piece).read().file);
                if (likeness(words, other) >= alikeEnough && numberLikeness(words, other) == 1.0 &&
                    lengthLikeness(pieces_[piece].span, pieces_[member.piece].span) >= lengthsCloseEnough)
                    return g;
            }
        }
        return std::nullopt;
    }

    void takeWholeDays() {
        const std::size_t workouts = result_.groups.size();
        const auto days = piecesThat([&](std::size_t i) { return hasRate(i) && isDated(i) && isLong(i); });
        for (const std::size_t piece : byBegin(days)) {
            const auto groups = groupsMeeting(piece);
            bool isUsed = false;
            for (const std::size_t group : groups) {
                if (group >= workouts && isUsed) continue;
                join(group, piece, group < workouts);
                if (group >= workouts) grow(group, piece);
                isUsed = true;
            }
            if (!isUsed && !joinStoredParts(piece)) addGroup(piece);
        }
    }

    /// A day of samples over sessions that are stored already.
    bool joinStoredParts(std::size_t piece) {
        bool isUsed = false;
        for (std::size_t s = 0; s < knowledge_.sessions.size(); ++s) {
            const auto& span = knowledge_.sessions[s].span;
            if (!span || lengthOf(*span) > wholeDay || !meet(spanOf(piece), *span)) continue;
            PieceGroup group;
            group.core = *span;
            group.joins = s;
            result_.groups.push_back(std::move(group));
            join(result_.groups.size() - 1, piece, true);
            isUsed = true;
        }
        return isUsed;
    }

    void joinStored() {
        for (auto& group : result_.groups) {
            if (group.joins || !group.core) continue;
            Micros most{-1};
            for (std::size_t s = 0; s < knowledge_.sessions.size(); ++s) {
                const auto& span = knowledge_.sessions[s].span;
                if (!span || !meet(*group.core, *span) || common(*group.core, *span) <= most) continue;
                most = common(*group.core, *span);
                group.joins = s;
            }
        }
    }

    /// How much an undated piece is like the pieces of a group; 0 where it does not belong.
    [[nodiscard]] double alike(std::size_t piece, const PieceGroup& group) const {
        double best = 0.0;
        const auto words = fileWords(fileOf(piece).read().file);
        for (const auto& member : group.members) {
            const double names = likeness(words, fileWords(fileOf(member.piece).read().file));
            const double lengths =
                lengthLikeness(pieces_[piece].span, member.cut ? *member.cut : pieces_[member.piece].span);
            const double numbers = numberLikeness(words, fileWords(fileOf(member.piece).read().file)) / 2;
            if (names >= alikeEnough && lengths >= lengthsCloseEnough)
                best = std::max(best, names + lengths + numbers);
        }
        return best;
    }

    void takeUndated() {
        const auto undated = piecesThat([&](std::size_t i) { return hasRate(i) && !isDated(i); });
        for (const std::size_t piece : undated)
            if (!takeUndated(piece)) addUndatedGroup(piece);
    }

    bool takeUndated(std::size_t piece) {
        std::optional<std::size_t> best;
        double most = 0.0, second = 0.0;
        for (std::size_t g = 0; g < result_.groups.size(); ++g) {
            const double score = alike(piece, result_.groups[g]);
            if (score > most) {
                second = std::exchange(most, score);
                best = g;
            } else {
                second = std::max(second, score);
            }
        }
        if (best && most > second + 0.05) {
            result_.groups[*best].members.push_back(
                {piece, std::nullopt, "it has no date; its name and length are like the others’"});
            return true;
        }
        const auto onlyOfItsLength = onlyGroupOfLength(pieces_[piece].span);
        if (best || !onlyOfItsLength) return false;
        result_.groups[*onlyOfItsLength].members.push_back(
            {piece, std::nullopt, "it has no date; its length is that of the others"});
        return true;
    }

    /// The one group with a member of about that length, where there is no second one.
    [[nodiscard]] std::optional<std::size_t> onlyGroupOfLength(const TimeSpan& span) const {
        std::optional<std::size_t> only;
        for (std::size_t g = 0; g < result_.groups.size(); ++g) {
            const auto& group = result_.groups[g];
            if (!group.core || lengthLikeness(span, *group.core) < lengthsCloseEnough) continue;
            if (only) return std::nullopt;
            only = g;
        }
        return only;
    }

    void addUndatedGroup(std::size_t piece) {
        PieceGroup group;
        group.members.push_back({piece, std::nullopt, "it has no date"});
        result_.groups.push_back(std::move(group));
    }

    /// Files without heart rate go where their other channels lie.
    void takeContexts() {
        for (const std::size_t piece : piecesThat([&](std::size_t i) { return !hasRate(i); })) {
            if (!isDated(piece)) {
                if (!takeUndated(piece))
                    result_.unplaced.push_back(
                        {piece, std::nullopt, "It has neither heart rate nor a date; say where it belongs."});
                continue;
            }
            const auto groups = groupsMeeting(piece);
            for (const std::size_t group : groups)
                join(group, piece, groups.size() > 1);
            if (groups.empty())
                result_.unplaced.push_back(
                    {piece, std::nullopt, "It has no heart rate and overlaps no session."});
        }
    }

    /// Of an export of years most parts meet nothing: they are left out where others of its parts do meet
    /// something. A lone undated file waits for the user.
    void leaveLonelyPartsOut() {
        std::map<std::size_t, std::size_t> met;
        for (const auto& group : result_.groups)
            if (group.members.size() > 1 || group.joins)
                for (const auto& member : group.members)
                    ++met[pieces_[member.piece].file];
        std::erase_if(result_.groups, [&](PieceGroup& group) {
            if (group.members.size() > 1 || group.joins) return false;
            const auto piece = group.members.front().piece;
            if (!group.core) {
                result_.unplaced.push_back(
                    {piece, std::nullopt,
                     "It has no date, and no name or length is like it; say where it belongs."});
                return true;
            }
            if (met[pieces_[piece].file] == 0) return false;
            result_.unplaced.push_back({piece, std::nullopt, "Nothing else was recorded at that time."});
            return true;
        });
    }

    void sortAndExplain() {
        std::ranges::stable_sort(result_.groups, [](const PieceGroup& a, const PieceGroup& b) {
            if (a.core.has_value() != b.core.has_value()) return a.core.has_value();
            return a.core && a.core->begin < b.core->begin;
        });
        for (auto& group : result_.groups)
            group.because = reasonOf(group);
    }

    [[nodiscard]] std::string reasonOf(const PieceGroup& group) const {
        if (group.joins) {
            const auto& session = knowledge_.sessions[*group.joins];
            return fmt::format("It overlaps the stored session \"{}\" by {}.", session.name,
                               sessionClockText(toSeconds(common(*group.core, *session.span)).value));
        }
        if (!group.core) return "The files have no date; their names and lengths are alike.";
        if (group.members.size() == 1) return "Nothing else was recorded at that time.";
        return fmt::format("{} recordings overlap in time.", group.members.size());
    }

    std::span<const Piece> pieces_;
    std::span<const OfferedFile> files_;
    const std::vector<bool>& anchors_;
    const LibraryKnowledge& knowledge_;
    std::vector<Micros> shifts_;  ///< what is added to the clock of each piece
    GroupedPieces result_;
};

}  // namespace

GroupedPieces groupPieces(std::span<const Piece> pieces, std::span<const OfferedFile> files,
                          const std::vector<bool>& anchors, const LibraryKnowledge& knowledge) {
    return Grouper{pieces, files, anchors, knowledge}.group();
}

}  // namespace beatwitness::library
