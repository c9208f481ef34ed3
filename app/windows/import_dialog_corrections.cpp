// What the commands of the import dialog do to the row at hand.
#include <QAction>
#include <QLabel>
#include <QMenu>
#include <QTreeView>
#include <algorithm>

#include "app/document/session_words.h"
#include "app/windows/import_details.h"
#include "app/windows/import_dialog.h"
#include "app/windows/layout_dialog.h"
#include "app/windows/preview_lines.h"
#include "widgets/plots/trace_strip.h"
#include "widgets/theme/theme.h"

namespace beatwitness::app {

using namespace widgets;

namespace {

/// The wearings of a session, the one at hand in colour above the others.
std::vector<DrawnLine> linesOf(const std::vector<BoardWearing>& wearings, int atHand,
                               const ImportSource& source) {
    std::vector<DrawnLine> lines;
    std::optional<RecordingTime> zero;
    for (const auto& wearing : wearings)
        for (const auto& use : wearing.is.recordings) {
            const auto& file = source.files[use.file];
            if (!file.hasHeartRate() || file.recording().clock != recording::ClockBasis::Utc) continue;
            const auto begin = use.span ? use.span->begin : file.summary.span->begin;
            zero = zero ? std::min(*zero, begin) : begin;
        }
    const auto add = [&](const BoardWearing& wearing, bool isAtHand) {
        for (const auto& use : wearing.is.recordings) {
            const auto& file = source.files[use.file];
            if (!file.hasHeartRate()) continue;
            const auto part = use.span ? *use.span : *file.summary.span;
            const bool isUtc = file.recording().clock == recording::ClockBasis::Utc;
            const auto& palette = currentPalette();
            // A clock of another kind is laid on the others' beginning.
            lines.push_back(previewLine(*file.trace, part, isUtc && zero ? *zero : part.begin,
                                        isAtHand ? palette.trace(0) : mixed(palette.paper, palette.ink, 0.35),
                                        isAtHand ? 1.8 : 1.0));
        }
    };
    for (std::size_t i = 0; i < wearings.size(); ++i)
        if (static_cast<int>(i) != atHand) add(wearings[i], false);
    if (atHand >= 0) add(wearings[static_cast<std::size_t>(atHand)], true);
    return lines;
}

/// Several recordings of one session, to become one wearing.
bool canJoinWearings(const std::vector<BoardPlace>& places) {
    return places.size() > 1 && std::ranges::all_of(places, [&](const BoardPlace& place) {
               return place.wearing >= 0 && place.session >= 0 && place.session == places.front().session;
           });
}

}  // namespace

void ImportDialog::showRow() {
    const auto index = tree_->currentIndex();
    details_->setRow(index);
    refreshActions();
    const auto place = model_->placeOf(index);
    const auto& source = *model_->source();
    if (!place) {
        const auto file = model_->fileOf(index);
        std::vector<DrawnLine> lines;
        if (file && source.files[*file].hasHeartRate())
            lines.push_back(previewLine(*source.files[*file].trace, *source.files[*file].summary.span,
                                        source.files[*file].summary.span->begin, currentPalette().trace(0),
                                        1.8));
        return strip_->setLines(std::move(lines), index.siblingAtColumn(0).data().toString(),
                                tr("No trace to show"));
    }
    const auto& wearings =
        place->session < 0 ? model_->board().unplaced()
                           : model_->board().sessions()[static_cast<std::size_t>(place->session)].wearings;
    std::vector<BoardWearing> shown = wearings;
    int atHand = place->wearing;
    if (place->session < 0) {
        shown = {wearings[static_cast<std::size_t>(place->wearing)]};
        atHand = 0;
    }
    strip_->setLines(linesOf(shown, atHand, source),
                     tr("%1: %2").arg(index.siblingAtColumn(0).data().toString(),
                                      index.siblingAtColumn(ImportModel::When).data().toString()),
                     tr("No heart rate to show"));
}

std::vector<BoardPlace> ImportDialog::selected() const {
    std::vector<BoardPlace> places;
    for (const auto& index : tree_->selectionModel()->selectedRows())
        if (const auto place = model_->placeOf(index)) places.push_back(*place);
    if (places.empty())
        if (const auto place = model_->placeOf(tree_->currentIndex())) places.push_back(*place);
    return places;
}

void ImportDialog::refreshActions() {
    const auto index = tree_->currentIndex();
    const auto place = model_->placeOf(index);
    const bool isWearing = place && place->wearing >= 0;
    const bool isInSession = place && place->session >= 0;
    new_->setEnabled(isWearing);
    move_->setEnabled(isWearing);
    const bool joinsWearings = canJoinWearings(selected());
    merge_->setText(joinsWearings ? tr("&Join into One Recording") : tr("&Join with Session Above"));
    merge_->setEnabled(joinsWearings || (isInSession && place->session > 0));
    leave_->setEnabled(isInSession);
    attempt_->setEnabled(isInSession);
    failed_->setEnabled(isWearing && isInSession);
    const auto file = model_->fileOf(index);
    readAs_->setEnabled(model_->unreadOf(index) ||
                        (file && holdsTable(model_->source()->files[*file].read())));
}

void ImportDialog::correct(ImportBoard board, const BoardPlace& at) {
    place_ = at;
    model_->correct(std::move(board));
    place_.reset();
    const auto index = model_->indexOf(at, tree_->currentIndex().column());
    if (index.isValid()) tree_->setCurrentIndex(index);
}

void ImportDialog::moveToNew() {
    moveTo(static_cast<int>(model_->board().sessions().size()));
}

void ImportDialog::moveTo(int session) {
    auto board = model_->board();
    const int at = board.move(selected(), session, tr("new session").toStdString());
    const auto sessions = static_cast<int>(board.sessions().size());
    if (at < 0 || at >= sessions) return;
    const int last = static_cast<int>(board.session(at).wearings.size()) - 1;
    correct(std::move(board), {at, last});
}

void ImportDialog::fillMoveMenu() {
    moveMenu_->clear();
    const auto& sessions = model_->board().sessions();
    for (std::size_t i = 0; i < sessions.size(); ++i) {
        const auto index = model_->index(static_cast<int>(i), ImportModel::When);
        moveMenu_->addAction(
            tr("%1 · %2").arg(QString::fromStdString(sessions[i].is.name), index.data().toString()), this,
            [this, i] { moveTo(static_cast<int>(i)); });
    }
    moveMenu_->addSeparator();
    moveMenu_->addAction(new_);
}

void ImportDialog::openMoveMenu() {
    fillMoveMenu();
    const auto rect = tree_->visualRect(tree_->currentIndex());
    moveMenu_->popup(tree_->viewport()->mapToGlobal(rect.bottomLeft()));
    moveMenu_->setActiveAction(moveMenu_->actions().front());
}

void ImportDialog::mergeUp() {
    const auto places = selected();
    if (canJoinWearings(places)) {
        auto board = model_->board();
        const auto at = board.joinWearings(places);
        return correct(std::move(board), at);
    }
    const auto place = model_->placeOf(tree_->currentIndex());
    if (!place || place->session < 1) return;
    auto board = model_->board();
    const int at = board.merge(place->session, place->session - 1);
    correct(std::move(board), {at, -1});
}

void ImportDialog::leaveOut() {
    auto places = selected();
    std::erase_if(places, [](const BoardPlace& place) { return place.session < 0; });
    if (places.empty()) return;
    auto board = model_->board();
    board.toggleLeftOut(places);
    correct(std::move(board), places.front());
}

void ImportDialog::addAttempt() {
    const auto place = model_->placeOf(tree_->currentIndex());
    if (!place || place->session < 0) return;
    auto board = model_->board();
    const auto at = board.addAttempt(place->session, {});
    correct(std::move(board), at);
    // Which device failed is what only the user knows.
    const auto cell = model_->indexOf(at, ImportModel::Device);
    tree_->setCurrentIndex(cell);
    tree_->edit(cell);
}

void ImportDialog::toggleFailed() {
    const auto place = model_->placeOf(tree_->currentIndex());
    if (!place || place->wearing < 0 || place->session < 0) return;
    auto board = model_->board();
    auto& is = board.wearing(*place).is;
    const bool isFailed = is.outcome == library::WearingOutcome::Failed;
    if (isFailed && is.recordings.empty()) return;  // without a file it cannot have recorded
    is.outcome = isFailed ? library::WearingOutcome::Recorded : library::WearingOutcome::Failed;
    if (isFailed) is.reason.clear();
    correct(std::move(board), *place);
    if (isFailed) return;
    const auto cell = model_->indexOf(*place, ImportModel::State);
    tree_->setCurrentIndex(cell);
    tree_->edit(cell);
}

void ImportDialog::readAs() {
    const auto index = tree_->currentIndex();
    const auto& source = *model_->source();
    const auto unread = model_->unreadOf(index);
    const auto file = model_->fileOf(index);
    if (!unread && !file) return;
    const std::string path = unread ? source.unread[*unread].path : source.files[*file].read().file;
    const std::size_t at = unread ? *unread : *file;
    auto* dialog = new LayoutDialog(path, unread ? recording::ReadOptions{} : source.readAs[*file], this);
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    connect(dialog, &QDialog::accepted, this, [this, dialog, at, wasUnread = unread.has_value()] {
        summary_->setText(tr("Reading anew …"));
        runner_.run(
            tr("Reading …"),
            [source = model_->source(), at, wasUnread, options = dialog->options()](const RunControl& run) {
                return wasUnread ? readAnewUnread(*source, at, options, run)
                                 : readAnew(*source, at, options, run);
            },
            [this, at, wasUnread](Result<ReadImport> read) { takeReadAnew(std::move(read), wasUnread, at); });
    });
    dialog->open();
}

/// Where nothing was corrected yet everything is proposed anew; else corrections stay, and what the file now
/// says takes the place of what it said.
void ImportDialog::takeReadAnew(Result<ReadImport> read, bool wasUnread, std::size_t index) {
    if (!read) {
        refresh();
        complaint_->setText(QString::fromStdString(sentence(read.fault())));
        return;
    }
    if (!model_->wasCorrected()) return model_->setImport(read->source, ImportBoard{read->plan});
    auto board = model_->board();
    if (wasUnread)
        board.addUnplaced(read->source->files.size() - 1, *read->source);
    else
        board.forgetParts(index);
    model_->setSource(read->source, std::move(board));
}

}  // namespace beatwitness::app
