// Work over the cores of the machine, such that nothing that comes of it tells how many there were: values 0 … n-1 are made on several threads, each by
// itself, and are handed over in their order on the thread that asks for them.
//
//     in_order(jobs.size(), threads, [&](std::size_t i) { return made_of(jobs[i]); },
//              [&](std::size_t i, Made made) { …; return true; });        // false: no more are wanted
//
// What makes a value may read what others read, and changes nothing but the value. At most twice as many values as there are threads are held at once.
// With one thread it is a loop. A thread that cannot be had is done without. Where making one fails for want of memory, that is so where it would have been
// handed over, as if it had been made there.
#pragma once

#include <algorithm>
#include <condition_variable>
#include <cstddef>
#include <exception>
#include <mutex>
#include <optional>
#include <system_error>
#include <thread>
#include <type_traits>
#include <utility>
#include <vector>

namespace benchleaf::driver {

// How many threads may work at a time. With the thread sanitizer they are many wherever there are two things to do, so that it sees them in every test.
struct Threads {
#ifdef BENCHLEAF_THREADS
    std::size_t most = BENCHLEAF_THREADS;
    bool always = true;
#else
    std::size_t most = 1;
    bool always = false; // even where there is too little to do for a thread to pay
#endif

    // So many; 0: as many as the machine has cores, where it pays.
    static Threads asked(int number) {
        Threads threads;
        if (number > 0) return {static_cast<std::size_t>(number), true};
        threads.most = std::max<std::size_t>(threads.most, std::thread::hardware_concurrency());
        return threads;
    }

    // For so many values, where a thread pays that makes `worth` of them.
    std::size_t among(std::size_t values, std::size_t worth) const {
        return std::clamp<std::size_t>(always ? values : values / std::max<std::size_t>(worth, 1), 1, most);
    }
};

inline constexpr int most_threads = 256; // that may be asked for

template <class Value>
class InOrder {
public:
    InOrder(std::size_t count, std::size_t threads) : count_(count), slots_(2 * threads) {}

    // On any thread: makes the next value that nobody makes, if there is room to hold it. False: there is none, or no room.
    template <class Make>
    bool make_one(std::unique_lock<std::mutex>& lock, const Make& make) {
        if (ended_ || next_ == count_ || next_ == taken_ + slots_.size()) return false;
        Slot& slot = slots_[next_ % slots_.size()];
        const std::size_t which = next_++;
        lock.unlock();
        try {
            slot.value.emplace(make(which));
        } catch (...) {
            slot.failed = std::current_exception();
        }
        lock.lock();
        slot.made = true;
        made_.notify_one();
        return true;
    }

    template <class Make>
    void work(const Make& make) {
        std::unique_lock lock(mutex_);
        for (;;)
            if (!make_one(lock, make)) {
                if (ended_ || next_ == count_) return;
                room_.wait(lock);
            }
    }

    // On the thread that takes them: the next value, made here where nobody has made it yet.
    template <class Make>
    Value next(const Make& make) {
        std::unique_lock lock(mutex_);
        Slot& slot = slots_[taken_ % slots_.size()];
        while (!slot.made)
            if (!make_one(lock, make)) made_.wait(lock);
        const std::exception_ptr failed = slot.failed;
        std::optional<Value> value = std::exchange(slot.value, std::nullopt);
        slot.made = false;
        ++taken_;
        room_.notify_all();
        lock.unlock();
        if (failed) std::rethrow_exception(failed);
        return std::move(*value);
    }

    void end() {
        const std::lock_guard lock(mutex_);
        ended_ = true;
        room_.notify_all();
    }

private:
    struct Slot {
        std::optional<Value> value;
        std::exception_ptr failed;
        bool made = false;
    };
    std::mutex mutex_;
    std::condition_variable made_, room_;
    const std::size_t count_;
    std::size_t next_ = 0;  // to be made
    std::size_t taken_ = 0; // so many were handed over
    bool ended_ = false;
    std::vector<Slot> slots_; // by a value's number, round and round
};

template <class Make, class Take>
void in_order(std::size_t count, std::size_t threads, const Make& make, const Take& take) {
    using Value = std::invoke_result_t<const Make&, std::size_t>;
    threads = std::min(threads, count);
    if (threads < 2) {
        for (std::size_t i = 0; i < count; ++i)
            if (!take(i, make(i))) return;
        return;
    }
    InOrder<Value> values(count, threads);
    struct Workers {
        InOrder<Value>& values;
        std::vector<std::jthread> all;
        explicit Workers(InOrder<Value>& of) : values(of) {}
        Workers(const Workers&) = delete;
        Workers& operator=(const Workers&) = delete;
        ~Workers() { values.end(); } // and then each is waited for
    } workers(values);
    workers.all.reserve(threads - 1); // this thread works, too
    try {
        while (workers.all.size() + 1 < threads) workers.all.emplace_back([&values, &make] { values.work(make); });
    } catch (
        const std::system_error&) { // the machine, or whoever set its bounds, has no more: those that there are will do
    }
    for (std::size_t i = 0; i < count; ++i)
        if (!take(i, values.next(make))) return;
}

} // namespace benchleaf::driver
